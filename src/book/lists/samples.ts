import type { Lab } from '../../core/colour/triples.ts';
import type { ReadingKind } from '../../domain/records/reading-kind.ts';
import type { BookRecord, RecordOf } from '../../domain/records/record.ts';
import { byQuality, kindShown } from '../../domain/records/shown-colour.ts';
import type { Book } from '../book.ts';
import { readingsOf } from '../shown-colours.ts';

/** The best colour that was read of a block, mix or tile, and how it is known. */
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

/** The colour of a mix without a reading. */
interface PredictedColour {
  readonly id: string;
  readonly lab: Lab;
  /** By the newest clay model, or when the mix was saved. */
  readonly when: 'now' | 'saved';
}

export interface SamplesOfRecord {
  /** The newest first. */
  readonly tiles: readonly RecordOf<'tile'>[];
  /** Of it and of its tiles, the best first. */
  readonly readings: readonly RecordOf<'reading'>[];
}

/** Tiles of a block or mix, and every reading of it. */
export async function samplesOf(book: Book, id: string): Promise<SamplesOfRecord> {
  const { index, ports } = book;
  await index.current();
  const { table } = index;
  const number = table.numberOf(id);
  if (number === undefined) return { tiles: [], readings: [] };
  const tiles = table.namersOf(number, 'of').filter((one) => table.isLive(one, 'tile'));
  const numbers = [...tiles, ...readingsOf(table, number)];
  const found = await ports.store.getMany(numbers.map(table.idAt));
  const records = <K extends 'tile' | 'reading'>(kind: K) =>
    [...found.values()].filter(
      (record): record is BookRecord & RecordOf<K> => record.kind === kind,
    );
  return {
    tiles: records('tile').sort((one, other) => (one.createdAt < other.createdAt ? 1 : -1)),
    readings: records('reading').sort(byQuality),
  };
}

/** Colours of some blocks, mixes or tiles, of all blocks where none are named; who has none is left out. */
export async function coloursOf(
  book: Book,
  ids?: readonly string[],
): Promise<{
  readonly colours: readonly ReadColour[];
  readonly predicted: readonly PredictedColour[];
  /** Colours are still being predicted: a later answer has more. */
  readonly computing: boolean;
}> {
  const { index, ports } = book;
  await index.current();
  const { table, shown } = index;
  const numbers =
    ids === undefined ? allBlocks(book) : ids.flatMap((id) => table.numberOf(id) ?? []);
  const computing = !(await book.predicted.of(numbers));
  const found = numbers.flatMap((number) => {
    const colour = shown.of(number);
    return colour === undefined ? [] : [{ id: table.idAt(number), ...colour }];
  });
  const read = found.filter(({ from }) => from === 'reading');
  const records = await ports.store.getMany(read.map(({ source }) => table.idAt(source)));
  return {
    colours: read.flatMap(({ id, lab, source }) => {
      const reading = records.get(table.idAt(source));
      if (reading?.kind !== 'reading') return [];
      const { state, spread, photoId } = reading.body;
      return [
        {
          id,
          lab,
          readingKind: kindShown(reading.body),
          state,
          spread,
          readingId: reading.id,
          ...(photoId === undefined ? {} : { photoId }),
        },
      ];
    }),
    predicted: found.flatMap(({ id, lab, from }) => {
      if (from === 'reading') return [];
      return [{ id, lab, when: from === 'predicted now' ? ('now' as const) : ('saved' as const) }];
    }),
    computing,
  };
}

function allBlocks({ index: { table } }: Book): readonly number[] {
  const numbers: number[] = [];
  for (let number = 0; number < table.size; number++) {
    if (table.isLive(number, 'block')) numbers.push(number);
  }
  return numbers;
}
