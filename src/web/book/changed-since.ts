import { useQueries } from '@tanstack/react-query';
import type { BookRecord } from '../../domain/records/record.ts';
import { client } from './client.ts';

/** Changes of one record that are looked through; more of them, and the record counts as changed. */
const MOST_STEPS = 100;

/** Whether records are no longer as they were then; a change that was undone is none. */
export function useChangedSince(
  records: readonly BookRecord[],
  since: string,
): { readonly changed: boolean; readonly isPending: boolean } {
  const touched = records.filter(({ changedAt }) => changedAt > since);
  const asked = useQueries({
    queries: touched.map((record) => ({
      queryKey: ['history', 'since', record.id, record.version, since],
      queryFn: async () => {
        const { steps } = (
          await client.call('recordHistory', {
            params: { id: record.id },
            query: { limit: MOST_STEPS },
          })
        ).body;
        const first = steps.filter(({ group }) => group.at > since).at(-1);
        return JSON.stringify(first?.before?.body) !== JSON.stringify(record.body);
      },
    })),
  });
  return {
    changed: asked.some(({ data }) => data === true),
    isPending: asked.some(({ isPending }) => isPending),
  };
}
