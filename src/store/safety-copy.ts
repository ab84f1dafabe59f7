import { chmod, open, readdir, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { flushFolder, notSaved } from './saved-files.ts';

/**
 * A whole copy of a book beside it, made before a newer program changes its shape. Nothing ever takes it
 * away but the owner.
 * Returns: its file name, `book-before-0.2.0-2026-01-05.sqlite`
 * Refuses: no room -> disk-full; the disk stopped -> file-not-kept. The book is then as it was
 * Holds:   a file of that name is whole, and on the disk
 */
export async function makeSafetyCopy(call: {
  readonly folder: string;
  /** The program that is about to change the book. */
  readonly version: string;
  readonly nowEpochMs: number;
  readonly copyBook: (path: string) => Promise<void>;
}): Promise<string> {
  const { folder, version, nowEpochMs, copyBook } = call;
  const beside = join(folder, '.book-before.new');
  try {
    await rm(beside, { force: true });
    await copyBook(beside);
    await chmod(beside, 0o600);
    const file = await open(beside, 'r+');
    await file.sync().finally(() => file.close());
    const day = new Date(nowEpochMs).toISOString().slice(0, 10);
    const names = new Set(await readdir(folder));
    const named = (again: number) =>
      `book-before-${version}-${day}${again === 1 ? '' : `-${again}`}.sqlite`;
    let again = 1;
    while (names.has(named(again))) again++;
    await rename(beside, join(folder, named(again)));
    await flushFolder(folder);
    return named(again);
  } catch (thrown) {
    await rm(beside, { force: true }).catch(() => {});
    throw notSaved(folder, thrown);
  }
}
