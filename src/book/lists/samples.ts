import type { Lab } from '../../core/colour/triples.ts';
import type { ReadingKind } from '../../domain/reading-kind.ts';
import { byDataQuality, surestOf } from '../../domain/records/best-reading.ts';
import type { BookRecord, RecordOf } from '../../domain/records/record.ts';
import type { Book } from '../book.ts';
import { sampleOf } from '../book-index.ts';
import { readingsOf } from './mix-filters.ts';

/** The surest colour of a block, mix or tile that was read, and how it is known. */
export interface ReadColour {
  readonly id: string;
  /** D50, 2 degrees. */
  readonly lab: Lab;
  readonly readingKind: ReadingKind;
  readonly state: 'raw' | 'baked';
  readonly spread: number;
  readonly readingId: string;
  readonly photoId?: string;
}

export interface Samples {
  /** The newest first. */
  readonly tiles: readonly RecordOf<'tile'>[];
  /** Of it and of its tiles, the surest first. */
  readonly readings: readonly RecordOf<'reading'>[];
}

/** Tiles of a block or mix, and every reading of it. */
export async function samplesOf(book: Book, id: string): Promise<Samples> {
  const { index, ports } = book;
  await index.ready;
  const tiles = [...index.namersOf(id)].filter(
    (row) => row.kind === 'tile' && row.live && sampleOf(row).includes(id),
  );
  const readings = readingsOf(index, id);
  const found = await ports.store.getMany([...tiles, ...readings].map((row) => row.id));
  const records = <K extends 'tile' | 'reading'>(kind: K) =>
    [...found.values()].filter(
      (record): record is BookRecord & RecordOf<K> => record.kind === kind,
    );
  return {
    tiles: records('tile').sort((one, other) => (one.createdAt < other.createdAt ? 1 : -1)),
    readings: records('reading').sort(byDataQuality),
  };
}

/** Colours of some blocks, mixes or tiles, of all blocks where none are named; who has none is left out. */
export async function coloursOf(
  book: Book,
  ids?: readonly string[],
): Promise<readonly ReadColour[]> {
  await book.index.ready;
  const surest = await surestColours(book, ids ?? allBlocks(book));
  return [...surest].map(([id, { lab, reading }]) => {
    const { readingKind, state, spread, photoId } = reading.body;
    return {
      id,
      lab,
      readingKind,
      state,
      spread,
      readingId: reading.id,
      ...(photoId === undefined ? {} : { photoId }),
    };
  });
}

/** The surest reading of each, in one question to the store. */
export async function surestColours(
  { index, ports }: Book,
  ids: readonly string[],
): Promise<ReadonlyMap<string, { readonly reading: RecordOf<'reading'>; readonly lab: Lab }>> {
  const own = ids.map((id) => [id, readingsOf(index, id).map((row) => row.id)] as const);
  const found = await ports.store.getMany(own.flatMap(([, readings]) => readings));
  return new Map(
    own.flatMap(([id, readings]) => {
      const surest = surestOf(
        readings.flatMap((reading) => {
          const record = found.get(reading);
          return record?.kind === 'reading' ? [record] : [];
        }),
      );
      return surest === undefined ? [] : [[id, surest] as const];
    }),
  );
}

function allBlocks({ index }: Book): readonly string[] {
  const ids: string[] = [];
  for (let number = 0; number < index.size; number++) {
    if (index.isLive(number, 'block')) ids.push(index.rowAt(number)!.id);
  }
  return ids;
}
