import type { BookKind, RecordOf } from '../../domain/records/record.ts';
import { client } from '../book/client.ts';
import { ROWS } from '../book/list.ts';
import { allQuery, queries } from '../book/queries.ts';
import { askOf } from '../screens/book/question.ts';

/** What most screens stand on; mixes come as they are looked at. */
const KINDS = [
  'settings',
  'line',
  'block',
  'clay-model',
  'powder',
  'box',
] as const satisfies readonly BookKind[];

/**
 * Asks once, one after the other, for what it takes to read the book and to find without it, so that
 * the page's worker has seen it.
 */
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
  // As the mix book and Tiles ask first.
  const first = { from: 0, limit: ROWS };
  await client.call('tileList', { query: first });
  await client.call('mixList', { query: { ...askOf({}), ...first } });
  // Each of them by itself, from which one is found that was not opened.
  await client.call('listRecords', {
    query: { kind: 'mix', sort: 'changed', limit: 500, descending: 'true' },
  });
}
