import { allRecords } from '../../book/all-records.ts';
import type { BookAccess } from '../../book/book-access.ts';
import { type ReadingsOfBook, readingsOfBook } from '../../book/readings-of-book.ts';
import { bytesOf } from '../../book/save-file.ts';
import { stockRows } from '../../book/stock-rows.ts';
import { AppError } from '../../core/errors.ts';
import { canonicalJson } from '../../domain/canonical-json.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import type { Ports } from '../../verbs/ports.ts';
import type { Given } from '../options.ts';

/** Stands for the book where a file would be named; hints repeat it, and then it is a call that works. */
const BOOK = '--book';

/**
 * A call with `--book` as the same call on files: the book's readings and its newest clay model are what
 * the use case reads, and the clay file that learning writes is kept in the book.
 * Refuses: no book, no readings, no clay model yet -> no-book, nothing-to-learn, no-clay-model
 */
export async function onBook(
  verb: string,
  given: Given,
  ports: Ports,
  books: BookAccess,
): Promise<{ readonly given: Given; readonly ports: Ports }> {
  const folder = books.folderOf(given.values.get('folder')?.[0]);
  const values = new Map(given.values);
  if (verb === 'learn') {
    const read = await books.lookAt(folder, readingsOfBook);
    if (!values.has('out')) values.set('out', [BOOK]);
    return {
      given: { ...given, operands: [BOOK, ...given.operands], values },
      ports: portsWith(ports, read, (bytes) => {
        const learnedOn = books.today();
        const learned = { bytes, learnedOn, name: `Learned on ${learnedOn}` };
        return books.throughService(folder, false, (desk) => desk.saveLearned(learned));
      }),
    };
  }
  if (verb === 'nearest') {
    const read = await books.lookAt(folder, readingsOfBook);
    values.set('in', [BOOK, ...(values.get('in') ?? [])]);
    return { given: { ...given, values }, ports: portsWith(ports, read) };
  }
  const known = await books.lookAt(folder, async (book) => {
    const models = (await allRecords(book.ports.store, 'clay-model')).filter(
      ({ deletedAt }) => deletedAt === undefined,
    );
    const newest = models.sort((one, other) => (one.createdAt < other.createdAt ? 1 : -1))[0];
    if (newest === undefined) return undefined;
    const model = newest as RecordOf<'clay-model'>;
    return {
      bytes: await bytesOf(book, model),
      stock: verb === 'find' ? await stockRows(book, model) : [],
    };
  });
  if (known === undefined) throw noModel(folder);
  const { bytes, stock } = known;
  // The book knows lines, prices and what is on hand; a stock file named beside it goes before.
  if (verb === 'find' && !values.has('stock')) values.set('stock', [BOOK]);
  return {
    given: { ...given, operands: [BOOK, ...given.operands], values },
    ports: {
      ...ports,
      readers: {
        ...ports.readers,
        stock: (content, path) => (path === BOOK ? stock : ports.readers.stock(content, path)),
      },
      files: {
        ...ports.files,
        read: (path) => (path === BOOK ? Promise.resolve(bytes) : ports.files.read(path)),
      },
    },
  };
}

function portsWith(
  ports: Ports,
  { readings, leftAside }: ReadingsOfBook,
  keep?: (bytes: Uint8Array) => Promise<void>,
): Ports {
  const { files, readers } = ports;
  const plain = readings.map(({ reading }) => reading);
  const bytes = new TextEncoder().encode(canonicalJson(plain));
  const notes = leftAside.map(({ recordId, why }) => `The reading ${recordId} is left out: ${why}`);
  return {
    ...ports,
    files: {
      read: async (path) => (path === BOOK ? bytes : files.read(path)),
      // Written into the book it is a record beside the others, and puts itself over none.
      look: async (path) => (path === BOOK ? { identity: BOOK, kind: 'other' } : files.look(path)),
      write: async (path, made) =>
        path === BOOK && keep !== undefined ? keep(made) : files.write(path, made),
    },
    readers: {
      ...readers,
      readings: (content, path, basis) =>
        path === BOOK ? { readings: plain, notes } : readers.readings(content, path, basis),
    },
  };
}

function noModel(folder: string): AppError {
  return new AppError({
    code: 'no-clay-model',
    kind: 'not-found',
    detail: `The book in ${folder} has no clay model yet.`,
    hint: 'Learn one from its readings with "kneadwell learn --book".',
  });
}
