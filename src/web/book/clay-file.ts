import type { RecordOf } from '../../domain/records/record.ts';
import { client } from './client.ts';
import { allQuery, queries } from './queries.ts';

export function newestOf(
  models: readonly RecordOf<'clay-model'>[],
): RecordOf<'clay-model'> | undefined {
  return models.reduce<RecordOf<'clay-model'> | undefined>(
    (best, one) => (best === undefined || one.createdAt > best.createdAt ? one : best),
    undefined,
  );
}

/** The file of a clay model, as its worker opens it. */
export function clayFileQuery({ id, version }: RecordOf<'clay-model'>) {
  return {
    queryKey: ['clays', 'file', id, version],
    queryFn: async () => (await client.call('clayBytes', { params: { id } })).body,
    // The worker has it once it is open.
    gcTime: 10_000,
  };
}

/** Fetches the file of the newest clay model while scripts and other records come. */
export async function fetchClayFileEarly(): Promise<void> {
  const newest = newestOf((await queries.fetchQuery(allQuery('clay-model'))).records);
  if (newest !== undefined) await queries.prefetchQuery(clayFileQuery(newest));
}
