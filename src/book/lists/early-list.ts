import { MIX_FILTERS } from '../../domain/records/mix-filters.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { bestOf, kindShown } from '../../domain/records/shown-colour.ts';
import type { Book } from '../book.ts';
import type { MixQuestion } from '../list-service.ts';
import { type ListedMix, type ListPage, type ListQuery, roundedLab } from './list-rows.ts';

type EarlyCall = ListQuery & MixQuestion & { readonly parts?: boolean };

/** Rows from the start of a list that the store alone gives quickly. */
const MOST_EARLY = 400;

/** A small book is read by then, and needs no answer before. */
const SOON_READ_MS = 150;

/**
 * Whether the store alone should answer: the start of a list of all mixes, in an order the store has, while
 * the index is still being read, which takes seconds in a large book.
 */
export async function isListedEarly({ index }: Book, call: EarlyCall): Promise<boolean> {
  const can =
    call.parts !== true &&
    call.sort !== 'near' &&
    call.from + call.limit <= MOST_EARLY &&
    MIX_FILTERS.every((filter) => call[filter] === undefined);
  if (!can || index.isReady) return false;
  await soonRead(index);
  return !index.isReady;
}

/** The wait for a small book, once for everybody who asks. */
const waits = new WeakMap<Book['index'], Promise<void>>();

function soonRead(index: Book['index']): Promise<void> {
  const begun = waits.get(index);
  if (begun !== undefined) return begun;
  const wait = new Promise<void>((resolve) => {
    const timer = setTimeout(resolve, SOON_READ_MS);
    // A book that cannot be read says so where it is asked for.
    index.ready
      .catch(() => {})
      .then(() => {
        clearTimeout(timer);
        resolve();
      });
  });
  waits.set(index, wait);
  return wait;
}

/**
 * The first rows of all mixes, from the store alone.
 * Limits:  colours that the newest clay model predicts are not known yet; a mix that was not read has the
 *          one it was saved with. No sheet is opened: whoever sends its name back gets a new one
 */
export async function earlyMixList(
  { ports: { store } }: Book,
  { sort, descending, from, limit }: EarlyCall,
): Promise<ListPage<ListedMix>> {
  if (sort === 'near') throw new TypeError('the store knows no colours');
  const { records, total } = await store.list({
    kind: 'mix',
    sort,
    descending,
    limit: from + limit,
  });
  const mixes = records.slice(from) as readonly RecordOf<'mix'>[];
  const readings = await readingsOfMixes(
    store,
    mixes.map(({ id }) => id),
  );
  return {
    sheet: 'early',
    total,
    from,
    behind: false,
    rows: mixes.map(({ id, body: { code, name, predicted } }): ListedMix => {
      const best = bestOf(readings.get(id) ?? []);
      const lab = best?.lab ?? predicted?.lab;
      const readingKind = best === undefined ? 'predicted' : kindShown(best.reading.body);
      return {
        id,
        ...(code === undefined ? {} : { code }),
        ...(name === undefined ? {} : { name }),
        ...(lab === undefined ? {} : { lab: roundedLab(lab), readingKind }),
      };
    }),
  };
}

/** Readings of mixes and of their tiles, the oldest first. */
async function readingsOfMixes(
  store: Book['ports']['store'],
  mixes: readonly string[],
): Promise<ReadonlyMap<string, readonly RecordOf<'reading'>[]>> {
  const ofMixes = (await store.usersOf(mixes)).filter(({ role }) => role === 'of');
  const mixOf = new Map(
    ofMixes.flatMap((use) => (use.fromKind === 'tile' ? [[use.fromId, use.toId]] : [])),
  );
  const ofTiles = await store.usersOf([...mixOf.keys()]);
  const owners = new Map<string, string>();
  for (const { fromId, fromKind, toId } of [...ofMixes, ...ofTiles]) {
    if (fromKind === 'reading') owners.set(fromId, mixOf.get(toId) ?? toId);
  }
  const found = await store.getMany([...owners.keys()]);
  const readings = new Map<string, RecordOf<'reading'>[]>();
  const oldest = [...found.values()].sort((one, other) =>
    one.createdAt < other.createdAt ? -1 : 1,
  );
  for (const record of oldest) {
    if (record.kind !== 'reading') continue;
    const mix = owners.get(record.id)!;
    readings.set(mix, [...(readings.get(mix) ?? []), record]);
  }
  return readings;
}
