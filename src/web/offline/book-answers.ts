import { API_PREFIX } from '../../api/paths.ts';
import { BOOK_HEADER, KEPT_HEADER } from '../../api/saved-answer.ts';
import { BOOKS, OPTED_OUT } from './cache-names.ts';

/** Calls whose answers are cached; those about access and jobs are not. */
const CACHED_CALLS =
  /^\/(?:records(?:\/[^/]+(?:\/(?:history|samples))?)?|counts|search|nearest|stock|sheets\/[a-z]+|tags|colours|changes|photos\/[^/]+\/(?:bytes|preview)|clay-models\/[^/]+(?:\/bytes)?)$/;
const RECORD = /^\/records\/([^/]+)$/;
/** Most cached answers; past it the oldest are removed. */
const MOST_ANSWERS = 3000;
const MOST_BYTES = 24 * 1024 * 1024;
const NOT_PAIRED = 401;

/** Path of a call after the version of the API. */
export function isCachedCall(path: string): boolean {
  return CACHED_CALLS.test(path);
}

/**
 * The answer of the book, cached for later; or if the book does not answer, its last one, marked with its
 * time.
 * Holds:   only answers of the book that answered last are cached; a device that is no longer paired
 *          removes them all as soon as it learns of it
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
    return (await cachedAnswer(caches, request)) ?? Response.error();
  }
  const book = answer.headers.get(BOOK_HEADER);
  if (answer.status === NOT_PAIRED) await forgetBooks(caches);
  else if (answer.ok && book !== null)
    meanwhile(cacheAnswer(caches, request, answer.clone(), book));
  return answer;
}

async function cacheAnswer(
  caches: CacheStorage,
  request: Request,
  answer: Response,
  book: string,
): Promise<void> {
  if (await caches.has(OPTED_OUT)) return;
  const name = `${BOOKS}${book}`;
  await forgetBooks(caches, name);
  const cache = await caches.open(name);
  const bytes = await answer.blob();
  if (bytes.size > MOST_BYTES) return;
  const headers = new Headers(answer.headers);
  headers.set(KEPT_HEADER, new Date().toISOString());
  await cache.put(asAsked(request), new Response(bytes, { headers }));
}

async function cachedAnswer(caches: CacheStorage, request: Request): Promise<Response | undefined> {
  const name = (await caches.keys()).find((one) => one.startsWith(BOOKS));
  if (name === undefined) return undefined;
  const cache = await caches.open(name);
  const asked = asAsked(request);
  return (await cache.match(asked)) ?? (await fromLists(cache, asked));
}

/** One address for the same question, whatever the order of its parameters. */
function asAsked({ url }: Request): string {
  const asked = new URL(url);
  asked.searchParams.sort();
  return asked.href;
}

/** A record that was never fetched by itself, from the newest list that has it. */
async function fromLists(cache: Cache, url: string): Promise<Response | undefined> {
  const id = RECORD.exec(new URL(url).pathname.slice(API_PREFIX.length))?.[1];
  if (id === undefined) return undefined;
  const wanted = decodeURIComponent(id);
  const lists = (await cache.keys()).filter(({ url }) => {
    const path = new URL(url).pathname.slice(API_PREFIX.length);
    return path === '/records' || path === '/search';
  });
  for (const list of lists.reverse()) {
    const cached = (await cache.match(list))!;
    const { records = [] } = (await cached.clone().json()) as { records?: { id: string }[] };
    const record = records.find((one) => one.id === wanted);
    if (record === undefined) continue;
    return new Response(JSON.stringify(record), { headers: cached.headers });
  }
  return undefined;
}

/** Removes the cached answers of all books, or of all but one. */
async function forgetBooks(caches: CacheStorage, but?: string): Promise<void> {
  const names = (await caches.keys()).filter((name) => name.startsWith(BOOKS) && name !== but);
  await Promise.all(names.map((name) => caches.delete(name)));
}

export async function tidyBooks(caches: CacheStorage): Promise<void> {
  for (const name of await caches.keys()) {
    if (!name.startsWith(BOOKS)) continue;
    const cache = await caches.open(name);
    const all = await cache.keys();
    // In the order they were last cached.
    for (const old of all.slice(0, Math.max(0, all.length - MOST_ANSWERS))) await cache.delete(old);
  }
}
