import { openBook } from '../../src/app/book/book.ts';
import { changeBook } from '../../src/app/book/change-book.ts';
import { openBookFolder } from '../../src/store/book-folder.ts';
import { block, line, mix } from '../conformance/book-maker.ts';

/**
 * Writes into a folder until it is killed, and says each change once it was acknowledged.
 * Run by the tests beside it: book-child.ts FOLDER FIRST
 */
const [folder, from] = process.argv.slice(2);
const open = await openBookFolder(folder);
const book = openBook(open.ports);
if ((await open.ports.store.get('l')) === undefined) {
  await changeBook(book, { what: 'Began', steps: [line('l'), block('b', 'l')] });
}
for (let i = Number(from); ; i++) {
  try {
    const steps = [0, 1, 2].map((part) => mix(`m${i}-${part}`, [['block', 'b', 1 + part]]));
    await changeBook(book, { what: `Kept ${i}`, steps });
    process.stdout.write(`${i}\n`);
  } catch (fault) {
    process.stdout.write(`fault ${(fault as { code?: string }).code}\n`);
    await open.close();
    process.exit(3);
  }
}
