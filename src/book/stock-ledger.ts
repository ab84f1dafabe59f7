import type { RecordOf } from '../domain/records/record.ts';
import type { BookReads, ListPlace } from './ports.ts';

export interface StockLedger {
  readonly of: { readonly kind: 'block' | 'powder' | 'mix'; readonly id: string };
  /** Absent if nothing was ever weighed or measured; below 0 if the ledger lacks a line. */
  readonly grams?: number;
  readonly millilitres?: number;
  /** Day of the last line. */
  readonly asOf: string;
}

type StockEntry = RecordOf<'stock-entry'>;

/** Movements read in one go. */
const PAGE = 500;

/**
 * The stock the user has of each thing, summed from the ledger: the newest count plus later changes, or
 * all changes if it was never counted. Lines of one day stay in the order they were written.
 * Holds:   the order in which lines were entered for different days does not matter
 */
function stockFrom(movements: readonly StockEntry[]): readonly StockLedger[] {
  const things = new Map<string, StockEntry[]>();
  for (const movement of movements) {
    const { id } = movement.body.of;
    things.set(id, [...(things.get(id) ?? []), movement]);
  }
  return [...things.values()].map((lines) => {
    const sorted = lines
      .map((line, at) => ({ line, at }))
      .sort((one, other) => compare(one.line.body.on, other.line.body.on) || one.at - other.at)
      .map(({ line }) => line);
    const grams = summed(sorted, 'foundG', 'changeG');
    const millilitres = summed(sorted, 'foundMl', 'changeMl');
    return {
      of: sorted[0].body.of,
      ...(grams === undefined ? {} : { grams }),
      ...(millilitres === undefined ? {} : { millilitres }),
      asOf: sorted[sorted.length - 1].body.on,
    };
  });
}

/** Stock of one thing, or of all. */
export async function stockOfStore(
  store: Pick<BookReads, 'list'>,
  id?: string,
): Promise<readonly StockLedger[]> {
  const movements: StockEntry[] = [];
  let after: ListPlace | undefined;
  do {
    const page = await store.list({
      kind: 'stock-entry',
      sort: 'created',
      descending: false,
      limit: PAGE,
      ...(id === undefined ? {} : { uses: { id, role: 'of' } }),
      ...(after === undefined ? {} : { after }),
    });
    movements.push(...(page.records as readonly StockEntry[]));
    after = page.next;
  } while (after !== undefined);
  return stockFrom(movements);
}

function summed(
  lines: readonly StockEntry[],
  found: 'foundG' | 'foundMl',
  change: 'changeG' | 'changeMl',
): number | undefined {
  let sum: number | undefined;
  for (const { body } of lines) {
    if (body.why === 'counted') sum = body[found] ?? sum;
    else if (body[change] !== undefined) sum = (sum ?? 0) + body[change];
  }
  return sum;
}

function compare(one: string, other: string): number {
  return one < other ? -1 : one > other ? 1 : 0;
}
