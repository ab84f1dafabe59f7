import { BOOK_HEADER, KEPT_HEADER } from '../../api/saved-answer.ts';
import { type ApiClient, apiClient } from '../../client/api-client.ts';
import { connectionNow, setConnection } from './connection.ts';

let book: string | undefined;
const listeners = new Set<() => void>();

/** Calls `listener` when another book than before answers at this address. */
export function onOtherBook(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/**
 * Calls go to the address the page came from. An answer out of the offline copy is reported at once, so
 * that it does not pass for what the book says now.
 */
export const client: ApiClient = apiClient({
  baseUrl: '',
  async fetch(...call) {
    const answer = await fetch(...call);
    const cachedAt = answer.headers.get(KEPT_HEADER);
    const now = connectionNow();
    if (cachedAt !== null && (now.cachedAt === undefined || cachedAt < now.cachedAt)) {
      setConnection({ state: now.state === 'shut' ? 'shut' : 'waiting', cachedAt });
    }
    const from = answer.headers.get(BOOK_HEADER);
    if (from !== null) {
      const other = book !== undefined && from !== book;
      book = from;
      if (other) for (const listener of listeners) listener();
    }
    return answer;
  },
});
