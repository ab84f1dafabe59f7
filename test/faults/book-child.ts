import Database from 'better-sqlite3';
import { openBook } from '../../src/book/book.ts';
import { changeBook } from '../../src/book/change-book.ts';
import { savePhoto } from '../../src/book/save-file.ts';
import { openBookFolder } from '../../src/store/book-folder.ts';
import { openSqliteBook } from '../../src/store/sqlite-book-store.ts';
import { block, line, mix } from '../conformance/book-maker.ts';

/**
 * Writes into a folder until it is killed, and prints each change once it was acknowledged. Run by
 * the tests beside it: book-child.ts FOLDER FIRST [busy], or book-child.ts BOOK migrate N, which
 * opens an older book and exits before the Nth statement of its migration
 */
const [folder, from, more] = process.argv.slice(2);
if (from === 'migrate') await dieMigrating(folder, Number(more));
const open = await openBookFolder(folder).catch((fault) => {
  process.stdout.write(`fault ${fault.code}\n`);
  process.exit(3);
});
const book = openBook(open.ports);
if ((await open.ports.store.get('l')) === undefined) {
  await changeBook(book, { what: 'Began', steps: [line('l'), block('b', 'l')] });
}
for (let i = Number(from); ; i++) {
  try {
    const steps = [0, 1, 2].map((part) => mix(`m${i}-${part}`, [['block', 'b', 1 + part]]));
    await changeBook(book, { what: `Kept ${i}`, steps });
    process.stdout.write(`${i}\n`);
    if (more === 'busy') await busy(i);
  } catch (fault) {
    process.stdout.write(`fault ${(fault as { code?: string }).code}\n`);
    await open.close();
    process.exit(3);
  }
}

/** Photos and backups between the changes. */
async function busy(i: number): Promise<void> {
  if (i % 5 === 0) {
    const bytes = new TextEncoder().encode(`photo ${i} `.repeat(500));
    await savePhoto(book, { bytes, body: { mediaType: 'image/png' }, what: 'p', id: `p${i}` });
    process.stdout.write(`photo ${i}\n`);
  }
  if (i % 20 === 0) {
    const { path } = await open.backups.make();
    process.stdout.write(`backup ${path}\n`);
  }
}

async function dieMigrating(path: string, nth: number): Promise<never> {
  let count = 0;
  const store = await openSqliteBook(path, {
    before: () => {
      if (++count === nth) process.kill(process.pid, 'SIGKILL');
    },
  });
  await store.close();
  process.stdout.write(`${new Database(path).pragma('user_version', { simple: true })}\n`);
  process.exit(0);
}
