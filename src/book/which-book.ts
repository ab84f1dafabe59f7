import type { ServerStateStore } from './server-state.ts';

const SPACE = 'which-book';
const KEY = 'id';

/**
 * A name by which a page tells the books apart that are served at one address, one after another.
 * Kept beside the book and not in it: a folder copied to another place is another book from then on, and
 * so is one into which another book was put (`other`).
 */
export async function nameOfBook(
  side: ServerStateStore,
  folder: string,
  newId: () => string,
  other = false,
): Promise<string> {
  const kept = (await side.get(SPACE, KEY)) as { id: string; folder: string } | undefined;
  if (kept?.folder === folder && !other) return kept.id;
  const id = newId();
  await side.put(SPACE, KEY, { id, folder });
  return id;
}
