import { API_PREFIX } from '../../api/paths.ts';
import { BOOK_HEADER, KEPT_HEADER } from '../../api/saved-answer.ts';
import { BOOKS, NOTHING } from './cache-names.ts';

/** Calls whose answers are laid by. What is of the door, of jobs or of the moment is not. */
const KEPT_CALLS =
  /^\/(?:records(?:\/[^/]+(?:\/(?:history|samples))?)?|counts|search|nearest|stock|sheets\/[a-z]+|tags|colours|changes|photos\/[^/]+\/(?:bytes|preview)|clay-models\/[^/]+(?:\/bytes)?)$/;
const RECORD = /^\/records\/([^/]+)$/;
/** Answers laid by of one book; past it the longest unseen go. */
const MOST_ANSWERS = 3000;
const MOST_BYTES = 24 * 1024 * 1024;
const NOT_PAIRED = 401;

/** Path of a call after the version of the API. */
export function isSavedCall(path: string): boolean {
  return KEPT_CALLS.test(path);
}

/**
 * The book's own answer, laid by for later; or where the book does not answer, the one it gave last,
 * marked with when that was.
 * Holds:   answers of one book alone are kept, the one that answered last; a device whose leave was
 *          taken forgets them all as soon as it hears of it
 */
export async function bookAnswer(
  caches: CacheStorage,
  request: Request,
  meanwhile: (work: Promise<unknown>) => void,
): Promise<Response> {
  let answer: Response;
  try {
    answer = await fetch(request);
  } catch {
    return (await keptAnswer(caches, request)) ?? Response.error();
  }
  const book = answer.headers.get(BOOK_HEADER);
  if (answer.status === NOT_PAIRED) await forgetBooks(caches);
  else if (answer.ok && book !== null) meanwhile(layBy(caches, request, answer.clone(), book));
  return answer;
}

async function layBy(
  caches: CacheStorage,
  request: Request,
  answer: Response,
  book: string,
): Promise<void> {
  if (await caches.has(NOTHING)) return;
  const name = `${BOOKS}${book}`;
  await forgetBooks(caches, name);
  const cache = await caches.open(name);
  const bytes = await answer.blob();
  if (bytes.size > MOST_BYTES) return;
  const headers = new Headers(answer.headers);
  headers.set(KEPT_HEADER, new Date().toISOString());
  await cache.put(asAsked(request), new Response(bytes, { headers }));
}

async function keptAnswer(caches: CacheStorage, request: Request): Promise<Response | undefined> {
  const name = (await caches.keys()).find((one) => one.startsWith(BOOKS));
  if (name === undefined) return undefined;
  const cache = await caches.open(name);
  const asked = asAsked(request);
  return (await cache.match(asked)) ?? (await fromLists(cache, asked));
}

/** The same question is one address, in whatever order its words stand. */
function asAsked({ url }: Request): string {
  const asked = new URL(url);
  asked.searchParams.sort();
  return asked.href;
}

/** One record that was never asked for by itself, from the newest list it was seen in. */
async function fromLists(cache: Cache, url: string): Promise<Response | undefined> {
  const id = RECORD.exec(new URL(url).pathname.slice(API_PREFIX.length))?.[1];
  if (id === undefined) return undefined;
  const wanted = decodeURIComponent(id);
  const lists = (await cache.keys()).filter(({ url }) => {
    const path = new URL(url).pathname.slice(API_PREFIX.length);
    return path === '/records' || path === '/search';
  });
  for (const list of lists.reverse()) {
    const kept = (await cache.match(list))!;
    const { records = [] } = (await kept.clone().json()) as { records?: { id: string }[] };
    const record = records.find((one) => one.id === wanted);
    if (record === undefined) continue;
    return new Response(JSON.stringify(record), { headers: kept.headers });
  }
  return undefined;
}

/** Forgets what was kept of all books, or of all but one. */
async function forgetBooks(caches: CacheStorage, but?: string): Promise<void> {
  const names = (await caches.keys()).filter((name) => name.startsWith(BOOKS) && name !== but);
  await Promise.all(names.map((name) => caches.delete(name)));
}

export async function tidyBooks(caches: CacheStorage): Promise<void> {
  for (const name of await caches.keys()) {
    if (!name.startsWith(BOOKS)) continue;
    const cache = await caches.open(name);
    const all = await cache.keys();
    // In the order they were last laid by.
    for (const old of all.slice(0, Math.max(0, all.length - MOST_ANSWERS))) await cache.delete(old);
  }
}
