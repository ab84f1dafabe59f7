import type { Basis } from '../core/mixes/mix-graph.ts';
import { isOwned } from '../domain/clay-of-block.ts';
import type { RecordOf } from '../domain/records/record.ts';
import { kindShown } from '../domain/records/shown-colour.ts';
import { FEWEST_COLOURED, roughReadings } from '../domain/rough-readings.ts';
import type { BookIndex } from './book-index.ts';
import type { ColourWork } from './clay-work.ts';
import type { BookPorts } from './ports.ts';

/** Clays that colours are predicted with now. */
export interface ColouringClays {
  /** Another key means other colours. */
  readonly key: string;
  readonly basis: Basis;
  /** Names of clays by the ids of their blocks. */
  readonly names: ReadonlyMap<string, string>;
  /** True where there is no clay model, and the blocks' own colours stand in for one. */
  readonly rough: boolean;
  source(): Promise<ColourWork['source']>;
}

/** The newest clay model of the book, else the colours of its blocks; undefined where there is neither. */
export async function colouringClays(
  { store, files }: Pick<BookPorts, 'store' | 'files'>,
  index: BookIndex,
): Promise<ColouringClays | undefined> {
  const { table } = index;
  for (let number = table.size - 1; number >= 0; number--) {
    if (!table.isLive(number, 'clay-model')) continue;
    const record = await store.get(table.idAt(number));
    if (record?.kind === 'clay-model') return learnedClays(files, record);
  }
  return roughClays(store, index);
}

function learnedClays(
  files: BookPorts['files'],
  { id, version, body }: RecordOf<'clay-model'>,
): ColouringClays {
  const { name, basis, clays, sha256 } = body;
  return {
    key: `${id} ${version}`,
    basis,
    rough: false,
    names: new Map(
      clays.flatMap((clay) => (clay.blockId === undefined ? [] : [[clay.blockId, clay.name]])),
    ),
    async source() {
      return { model: { title: `clay model ${name}`, bytes: await files.get(sha256) } };
    },
  };
}

async function roughClays(
  store: BookPorts['store'],
  { table, shown }: BookIndex,
): Promise<ColouringClays | undefined> {
  const coloured: (readonly [block: string, reading: string])[] = [];
  for (let number = 0; number < table.size; number++) {
    if (!table.isLive(number, 'block')) continue;
    const colour = shown.of(number);
    if (colour?.from !== 'reading') continue;
    coloured.push([table.idAt(number), table.idAt(colour.source)]);
  }
  if (coloured.length < FEWEST_COLOURED) return undefined;
  const records = await store.getMany(coloured.flat());
  const readings = roughReadings(
    coloured.flatMap(([blockId, readingId]) => {
      const block = records.get(blockId);
      const reading = records.get(readingId);
      const lab = shown.of(table.numberOf(blockId) ?? -1)?.lab;
      if (block?.kind !== 'block' || !isOwned(block)) return [];
      if (reading?.kind !== 'reading' || lab === undefined) return [];
      const { state, spread, photoId } = reading.body;
      const photo = photoId === undefined ? {} : { photoId };
      const colour = { lab, readingKind: kindShown(reading.body), state, spread, ...photo };
      return [{ id: blockId, clayType: block.body.clayType, colour }];
    }),
  );
  if (readings.length < FEWEST_COLOURED) return undefined;
  return {
    key: JSON.stringify(readings),
    basis: 'volume',
    rough: true,
    names: new Map(coloured.map(([block]) => [block, block])),
    source: async () => ({ rough: readings }),
  };
}
