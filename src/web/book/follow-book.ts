import { followEvents } from '../../client/event-stream.ts';
import { client } from './client.ts';
import { queries } from './queries.ts';

export type Touch = 'open' | 'waiting' | 'shut';

/**
 * Keeps what the page holds true to the book: whatever another page, device or program changes is
 * fetched anew as soon as it is told of. The answer stops it.
 */
export function followBook(hear: (touch: Touch) => void): () => void {
  const stop = new AbortController();
  const forget = (key: readonly unknown[]) => void queries.invalidateQueries({ queryKey: key });
  followEvents(
    client.options,
    {
      change({ records, many }) {
        if (many === true) return forget([]);
        for (const kind of new Set(records.map(({ kind }) => kind))) forget(['all', kind]);
        for (const { id } of records) forget(['record', id]);
        for (const key of ['counts', 'mixes', 'changes', 'history', 'stock', 'near']) forget([key]);
      },
      job({ id }) {
        forget(['job', id]);
        forget(['jobs']);
      },
      reset: () => forget([]),
      state: (state) => hear(state),
    },
    { signal: stop.signal },
  ).catch(() => hear('shut'));
  return () => stop.abort();
}
