import { BOOK_HEADER, KEPT_HEADER } from '../../api/saved-answer.ts';
import { type ApiClient, apiClient } from '../../client/api-client.ts';
import { connectionNow, setConnection } from './connection.ts';

let book: string | undefined;
const hearers = new Set<() => void>();

/** Notice when the book at this address is another than before. */
export function onOtherBook(hear: () => void): () => void {
  hearers.add(hear);
  return () => hearers.delete(hear);
}

/**
 * The page is served from where its book is, so its calls go there. What the page's own worker gave in
 * the book's place is told at once: it must not pass for what the book says now.
 */
export const client: ApiClient = apiClient({
  baseUrl: '',
  async fetch(...call) {
    const answer = await fetch(...call);
    const keptAt = answer.headers.get(KEPT_HEADER);
    const now = connectionNow();
    if (keptAt !== null && (now.keptAt === undefined || keptAt < now.keptAt)) {
      setConnection({ state: now.state === 'shut' ? 'shut' : 'waiting', keptAt });
    }
    const from = answer.headers.get(BOOK_HEADER);
    if (from !== null) {
      const other = book !== undefined && from !== book;
      book = from;
      if (other) for (const hear of hearers) hear();
    }
    return answer;
  },
});
