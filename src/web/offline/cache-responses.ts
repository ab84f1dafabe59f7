import type { BookKind, RecordOf } from '../../domain/records/record.ts';
import { client } from '../book/client.ts';
import { ROWS } from '../book/list.ts';
import { allQuery, queries } from '../book/queries.ts';
import { listQueryOf } from '../screens/book/question.ts';

/** The kinds that Find and most screens need; mixes are cached as they are opened. */
const KINDS = [
  'settings',
  'line',
  'block',
  'clay-model',
  'powder',
  'box',
  'purchase',
  'palette',
] as const satisfies readonly BookKind[];

/** Fetches, one after the other, what it takes to read the book and find recipes offline, so that it is cached. */
export async function cacheResponse(): Promise<void> {
  for (const kind of KINDS) await queries.prefetchQuery(allQuery(kind));
  const models = queries.getQueryData<{ records: readonly RecordOf<'clay-model'>[] }>([
    'all',
    'clay-model',
  ]);
  const [newest] = [...(models?.records ?? [])].sort((one, other) =>
    one.createdAt < other.createdAt ? 1 : -1,
  );
  if (newest !== undefined) await client.call('clayBytes', { params: { id: newest.id } });
  await client.call('countRecords', {});
  await client.call('stock', { query: {} });
  await client.call('colours', { query: {} });
  await client.call('tagsOfMixes', { query: { limit: 200 } });
  // The first calls of the mix book and Tiles.
  const first = { from: 0, limit: ROWS };
  await client.call('tileList', { query: first });
  await client.call('mixList', { query: { ...listQueryOf({}), ...first } });
  // The newest mixes one by one, for those that were never opened.
  await client.call('listRecords', {
    query: { kind: 'mix', sort: 'changed', limit: 500, descending: 'true' },
  });
}
