import { randomBytes } from 'node:crypto';
import type { ApiName } from '../api/paths.ts';
import type { Book } from '../book/book.ts';
import { type ApiReply, type HandledRequest, tagMatches } from './handler.ts';
import { plainFault } from './problem-answers.ts';

/** Answers with a tag of the book's current state; a caller who already has that state gets an empty answer. */
export type Etags = <N extends ApiName>(
  asked: HandledRequest,
  work: () => Promise<ApiReply<N>['body']>,
) => Promise<ApiReply<N> | undefined>;

/** How long a search waits for the book to be read before it says so. */
const READING_MS = 1500;

/** An answer that hangs on the whole book is the same until the book changes. */
export function etagsFor(book: Book): Etags {
  // Another program run gives other tags.
  const run = randomBytes(6).toString('hex');
  return async ({ request, reply }, work) => {
    const seq = await book.ports.store.lastSeq();
    // Predicted colours come without a change of the book.
    const tag = `W/"${run}-${seq}-${book.index.changes}"`;
    reply.header('etag', tag);
    if (tagMatches(request.headers['if-none-match'], tag)) {
      reply.code(304).send();
      return undefined;
    }
    return { body: await work() };
  };
}

/** Waits a little for the index; a book that is still being read then says so. */
export async function bookRead(book: Book): Promise<void> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<'late'>((resolve) => {
    timer = setTimeout(() => resolve('late'), READING_MS);
  });
  const first = await Promise.race([book.index.ready, late]);
  clearTimeout(timer);
  if (first === 'late') throw stillReading();
}

function stillReading() {
  return plainFault(
    'still-reading',
    'unavailable',
    'The book is still being read, so nothing can be searched yet.',
    'Ask again in a few seconds; lists answer already.',
    { retry: true, more: { seconds: 2 } },
  );
}
