import type { MixGraph, MixNode } from '../core/mixes/mix-graph.ts';
import { mixResolver, type Resolution } from '../core/mixes/resolve-mix.ts';
import { clayKey } from '../core/notation/clay-name.ts';
import type { Recipe } from '../core/notation/notation.ts';
import { placeOfRecord, READING_DEFAULTS, type Reading } from '../domain/reading.ts';
import type { RecordOf } from '../domain/records/record.ts';
import type { Book } from './book.ts';
import type { BookRow } from './ports.ts';

export interface BookReading {
  readonly recordId: string;
  readonly reading: Reading;
}

export interface ReadingsOfBook {
  readonly readings: readonly BookReading[];
  /** Readings no clay can be learned from, with the reason. */
  readonly leftAside: readonly { readonly recordId: string; readonly why: string }[];
  /** Blocks by the name they have as clays; two blocks of one name are told apart by their line. */
  readonly blocks: ReadonlyMap<string, string>;
}

const PAGE = 500;
/** The tile's own parts, as a mix beside those of the book; no id holds a space. */
const OWN = 'own parts';

/**
 * All live readings as a file of readings would give them: mixes of mixes resolved to blocks, blocks by
 * name. What her eye override counts as read by eye.
 * Holds:   a reading keeps every field of its record; `place` is the row it came from, else its record
 */
export async function readingsOfBook(book: Book): Promise<ReadingsOfBook> {
  const of = async <K extends 'line' | 'block' | 'mix' | 'tile' | 'reading' | 'photo'>(kind: K) =>
    new Map((await live(book, kind)).map((record) => [record.id, record as RecordOf<K>]));
  const blocks = await of('block');
  const mixes = await of('mix');
  const tiles = await of('tile');
  const names = namesOf(blocks, await of('line'));
  const graph: MixGraph & { mixes: Map<string, MixNode> } = {
    blocks: new Map([...blocks.values()].map(({ id, body }) => [id, blockNode(body)])),
    mixes: new Map([...mixes.values()].map(({ id, body }) => [id, mixNode(body)])),
  };
  const resolver = mixResolver(graph);
  const recipeOf = (id: string): Recipe | string => {
    if (blocks.has(id)) return [{ clay: names.get(id)!, parts: 1 }];
    return partsOf(resolver.resolve(id));
  };
  const partsOf = (found: Resolution): Recipe | string => {
    if (found.status !== 'resolved') return found.says;
    // Exact whole parts where they are small enough to be exact numbers, shares else.
    const whole = found.whole?.parts.every((parts) => parts <= 1_000_000n)
      ? found.whole
      : undefined;
    return found.blocks.map((block, i) => ({
      clay: names.get(block.id)!,
      parts: whole === undefined ? block.share : Number(whole.parts[i]),
    }));
  };
  const readings: BookReading[] = [];
  const leftAside: ReadingsOfBook['leftAside'][number][] = [];
  for (const record of (await of('reading')).values()) {
    const tile = tiles.get(record.body.of.id);
    const own = tile !== undefined && 'parts' in tile.body.of ? tile.body : undefined;
    const target = tile !== undefined && 'id' in tile.body.of ? tile.body.of.id : record.body.of.id;
    let recipe: Recipe | string;
    let basis = mixes.get(target)?.body.basis ?? tile?.body.basis ?? READING_DEFAULTS.basis;
    if (own !== undefined && 'parts' in own.of) {
      const graphOfOwn = {
        blocks: graph.blocks,
        mixes: new Map(graph.mixes).set(OWN, mixNode({ basis: own.basis, parts: own.of.parts })),
      };
      basis = own.basis;
      recipe = partsOf(mixResolver(graphOfOwn).resolve(OWN));
    } else recipe = recipeOf(target);
    if (typeof recipe === 'string') leftAside.push({ recordId: record.id, why: recipe });
    else readings.push({ recordId: record.id, reading: readingFrom(record, tile, recipe, basis) });
  }
  const named = new Map([...names].map(([id, name]) => [name, id]));
  return { readings, leftAside, blocks: named };
}

function readingFrom(
  { id, body }: RecordOf<'reading'>,
  tile: RecordOf<'tile'> | undefined,
  of: Recipe,
  basis: Reading['basis'],
): Reading {
  const { readingKind, state, lab, spectrum, spread, geometry, effect, photoId, source, override } =
    body;
  const { thicknessMm, backing, partsSpread } = tile?.body ?? {};
  const eye = override?.lab;
  const photo = photoId ?? source;
  return {
    tile: tile?.body.code ?? tile?.body.name ?? tile?.id ?? id,
    of,
    kind: eye === undefined ? readingKind : 'by eye',
    basis,
    state,
    ...(eye !== undefined
      ? { lab: { values: eye, light: 'D50', observer: 2 } }
      : {
          ...(lab === undefined ? {} : { lab }),
          ...(spectrum === undefined ? {} : { spectrum }),
        }),
    spread,
    geometry: eye === undefined ? geometry : READING_DEFAULTS.geometryOfLab,
    ...(thicknessMm === undefined ? {} : { thicknessMm }),
    ...(backing === undefined ? {} : { backing }),
    ...(photo === undefined ? {} : { photo }),
    // Said of a mix it would not fit a reading; the schema of readings has it so.
    ...(effect === undefined || of.length > 1 ? {} : { effect }),
    partsSpread:
      partsSpread ??
      (of.length > 1 ? READING_DEFAULTS.partsSpreadOfMix : READING_DEFAULTS.partsSpreadOfClay),
    place: body.place ?? placeOfRecord(id),
  };
}

function blockNode({ densityGPerCm3: value, densitySpread = 0 }: RecordOf<'block'>['body']) {
  if (value === undefined) return {};
  // Two standard deviations either side.
  const low = Math.max(value / 2, value - 2 * densitySpread);
  return { density: { value, low, high: value + 2 * densitySpread } };
}

function mixNode({ basis, parts }: Pick<RecordOf<'mix'>['body'], 'basis' | 'parts'>): MixNode {
  return { basis, parts: parts.map((part) => ({ clay: part.of.id, parts: part.parts })) };
}

function namesOf(
  blocks: ReadonlyMap<string, RecordOf<'block'>>,
  lines: ReadonlyMap<string, RecordOf<'line'>>,
): ReadonlyMap<string, string> {
  const names = new Map<string, string>();
  const spoken = [
    ({ body }: RecordOf<'block'>) => body.name,
    ({ body }: RecordOf<'block'>) => `${lines.get(body.lineId)?.body.name ?? ''} ${body.name}`,
    ({ id, body }: RecordOf<'block'>) => `${body.name} (${id})`,
  ];
  let left = [...blocks.values()];
  for (const [i, nameOf] of spoken.entries()) {
    const counts = new Map<string, number>();
    for (const block of left) {
      const key = clayKey(nameOf(block));
      counts.set(key, (counts.get(key) ?? 0) + 1);
    }
    const taken = new Set([...names.values()].map(clayKey));
    const settled = (block: RecordOf<'block'>) => {
      const key = clayKey(nameOf(block));
      return i === spoken.length - 1 || (counts.get(key) === 1 && !taken.has(key));
    };
    for (const block of left) if (settled(block)) names.set(block.id, nameOf(block));
    left = left.filter(({ id }) => !names.has(id));
  }
  return names;
}

async function live(book: Book, kind: BookRow['record']['kind']) {
  const records: BookRow['record'][] = [];
  for (let after: string | undefined = ''; after !== undefined; ) {
    const rows: readonly BookRow[] = await book.ports.store.rows(after, PAGE, kind);
    for (const { record } of rows) if (record.deletedAt === undefined) records.push(record);
    after = rows.length < PAGE ? undefined : rows[rows.length - 1].record.id;
  }
  return records;
}
