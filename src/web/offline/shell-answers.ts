/** The built page: its files and a hash over all of them. */
export interface Shell {
  readonly build: string;
  /** SHA-256 of index.html, which names all other files, hex. */
  readonly index: string;
  readonly files: readonly string[];
}

const NAME = 'shell ';
/** The previous build stays: pages it opened still fetch their screens from it. */
const SHELLS_SAVED = 2;
const INDEX = '/index.html';

/**
 * Caches all files of a build, or none.
 * Refuses: the server has another build by now; the browser tries again later
 */
export async function cacheShell(caches: CacheStorage, shell: Shell): Promise<void> {
  const name = `${NAME}${shell.build}`;
  const cache = await caches.open(name);
  try {
    const index = await fetch(INDEX, { cache: 'no-store' });
    const bytes = await index.clone().arrayBuffer();
    if (!index.ok || (await sha256(bytes)) !== shell.index) throw new Error('another build');
    await cache.addAll(shell.files);
    await cache.put(INDEX, index);
  } catch (fault) {
    await caches.delete(name);
    throw fault;
  }
}

export async function dropOldShells(caches: CacheStorage, shell: Shell): Promise<void> {
  const now = `${NAME}${shell.build}`;
  const before = (await caches.keys()).filter((name) => name.startsWith(NAME) && name !== now);
  // In the order they were made.
  const kept = before.slice(before.length - (SHELLS_SAVED - 1));
  await Promise.all(
    before.filter((name) => !kept.includes(name)).map((name) => caches.delete(name)),
  );
}

/**
 * A file of the page. The page itself comes from the server while it answers, so that a new build shows
 * at once; its files have a hash in their name, so that builds never mix.
 */
export async function shellAnswer(caches: CacheStorage, request: Request): Promise<Response> {
  if (request.mode !== 'navigate') {
    const lasting = new URL(request.url).pathname.startsWith('/assets/');
    const kept = lasting ? await caches.match(request) : undefined;
    return kept ?? fetch(request).catch(async () => (await caches.match(request)) ?? gone());
  }
  try {
    return await fetch(request);
  } catch {
    return (await newestIndex(caches)) ?? gone();
  }
}

async function newestIndex(caches: CacheStorage): Promise<Response | undefined> {
  const shells = (await caches.keys()).filter((name) => name.startsWith(NAME));
  for (const name of shells.reverse()) {
    const index = await (await caches.open(name)).match(INDEX);
    if (index !== undefined) return index;
  }
  return undefined;
}

function gone(): Response {
  return Response.error();
}

async function sha256(bytes: ArrayBuffer): Promise<string> {
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return Array.from(hash, (byte) => byte.toString(16).padStart(2, '0')).join('');
}
