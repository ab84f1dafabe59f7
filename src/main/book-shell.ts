import type { BookShell } from '../cli/book/book-shell.ts';
import type { Shell } from '../cli/run.ts';
import { plain } from '../cli/terminal-output.ts';
import { bookTables, recordsFromBookCsv } from '../formats/book-csv.ts';
import { bookJson, recordsFromBookJson, unreadableExport } from '../formats/book-json.ts';
import { imageSize } from '../formats/image-size.ts';
import { textFromBytes } from '../formats/text.ts';
import { bookAccess } from './book-access.ts';
import { demoBook } from './demo-book.ts';

/** The mix book on this machine, joined to the command line. */
export function bookShell(shell: Shell): BookShell {
  const { ports, screen, out, err, clearProgress } = shell;
  const books = bookAccess(ports.madeWith, (sentence) => {
    clearProgress();
    err(`${plain(sentence)}\n`);
  });
  return {
    ports,
    screen,
    out: (text) => {
      clearProgress();
      out(text);
    },
    books,
    exports: { json: bookJson, tables: bookTables },
    imageSize,
    textOf: textFromBytes,
    recordsOf(bytes, file) {
      let text: string;
      try {
        text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
      } catch (cause) {
        throw unreadableExport(file, 'it is no text in UTF-8', cause);
      }
      return /^\s*\{/.test(text) ? recordsFromBookJson(text, file) : recordsFromBookCsv(text, file);
    },
    serve: async (call) => (await import('./serve.ts')).serveBook(call, shell),
    demo: demoBook(books, ports),
  };
}
