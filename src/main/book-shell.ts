import type { BookShell } from '../cli/book-shell.ts';
import type { CliShell } from '../cli/shell.ts';
import { plain } from '../cli/terminal-output.ts';
import { textFromBytes } from '../domain/text-file.ts';
import { bookTables, recordsFromBookCsv } from '../formats/book-csv.ts';
import { bookJson, recordsFromBookJson } from '../formats/book-json.ts';
import { fileKind } from '../formats/file-kind.ts';
import { imageSize } from '../imaging/image-size.ts';
import { bookAccess } from './book-access.ts';
import { demoBook } from './demo-book.ts';
import { drawer } from './drawer.ts';
import { siteParts } from './site-parts.ts';

/** The mix book on this machine, joined to the command line. */
export function bookShell(shell: CliShell): BookShell {
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
    drawer,
    siteParts: async () => siteParts(),
    readQr: async (bytes) => (await import('../imaging/read-qr.ts')).readQr(bytes),
    imageSize,
    textOf: textFromBytes,
    kindOf: fileKind,
    recordsOf(bytes, file) {
      const text = textFromBytes(bytes, file, Number.POSITIVE_INFINITY);
      return /^\s*\{/.test(text) ? recordsFromBookJson(text, file) : recordsFromBookCsv(text, file);
    },
    serve: async (call) => (await import('./serve.ts')).serveBook(call, shell),
    demo: demoBook(books, ports),
  };
}
