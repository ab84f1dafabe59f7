import { randomBytes } from 'node:crypto';
import type { ApiName } from '../api/paths.ts';
import type { Book } from '../book/book.ts';
import { type Asked, type Notice, tagMatches } from './handler.ts';
import { plainFault } from './problem-answers.ts';

/** Answers with a tag of the book as it stands; to whoever has that already, with nothing. */
export type Etags = <N extends ApiName>(
  asked: Asked,
  work: () => Promise<Notice<N>['body']>,
) => Promise<Notice<N> | undefined>;

/** How long a search waits for the book to be read before it says so. */
const READING_MS = 1500;

/** An answer that hangs on the whole book is the same until the book changes. */
export function etagsFor(book: Book): Etags {
  const tags = seqTags(book.ports.store.lastSeq(), book.listen);
  return async ({ request, reply }, work) => {
    const tag = await tags();
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

/** A tag for the book as it stands; another program run gives other tags. */
function seqTags(first: Promise<number>, listen: Book['listen']): () => Promise<string> {
  const run = randomBytes(6).toString('hex');
  let seq = 0;
  listen(({ group }) => {
    seq = Math.max(seq, group.seq);
  });
  // Whoever asks hears of a book that cannot be read.
  first.catch(() => {});
  return async () => `W/"${run}-${Math.max(seq, await first)}"`;
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
