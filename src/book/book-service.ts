import type { BookChange, JournalGroup } from '../domain/records/change.ts';
import type { BodyOf, BookKind, BookRecord, RecordOf } from '../domain/records/record.ts';
import { type Book, type Changed, changedRecord } from './book.ts';
import { changesOf, type HistoryStep, historyOf } from './book-history.ts';
import { changeBook } from './change-book.ts';
import type { ColourQuery } from './colour-index.ts';
import { type ImportCall, type Imported, importRecords } from './import-records.ts';
import { type ListCall, type Listed, listBook } from './list-book.ts';
import { type LearnedFile, saveLearned } from './save-clay-model.ts';
import { bytesOf, type ComingFile, savePhoto, withFiles } from './save-file.ts';
import { type NearInBook, nearestInBook, type Searched, searchBook } from './search-book.ts';
import type { StockLedger } from './stock-ledger.ts';
import { stockOnHand } from './stock-on-hand.ts';
import { redoInBook, undoInBook } from './undo-change.ts';

export interface BookCounts {
  /** Number of the newest change. */
  readonly seq: number;
  readonly counts: readonly {
    readonly kind: BookKind;
    readonly live: number;
    readonly deleted: number;
  }[];
}

/**
 * A book as the command line sees it: opened here, or in a server that has it open. Each call refuses
 * what the use case behind it refuses.
 */
export interface BookService {
  counts(): Promise<BookCounts>;
  get(id: string): Promise<BookRecord | undefined>;
  list(call: ListCall): Promise<Listed>;
  search(call: {
    readonly text: string;
    readonly kinds?: readonly BookKind[];
    readonly limit: number;
  }): Promise<Searched>;
  nearest(query: ColourQuery): Promise<readonly NearInBook[]>;
  stock(): Promise<readonly StockLedger[]>;
  /** Newest first. */
  changes(limit: number): Promise<readonly JournalGroup[]>;
  history(id: string, limit: number): Promise<readonly HistoryStep[]>;
  change(change: BookChange): Promise<Changed>;
  /** A change whose records name files that come with them. */
  changeWithFiles(change: BookChange, files: readonly ComingFile[]): Promise<Changed>;
  /** The bytes of a clay model. */
  clayBytes(record: RecordOf<'clay-model'>): Promise<Uint8Array>;
  undo(seq?: number): Promise<Changed>;
  redo(seq?: number): Promise<Changed>;
  savePhoto(
    bytes: Uint8Array,
    body: Omit<BodyOf<'photo'>, 'sha256' | 'bytes'>,
    what: string,
  ): Promise<BookRecord>;
  /** A clay file that was learned from readings of this book. */
  saveLearned(learned: LearnedFile): Promise<void>;
  /** Records of an export, with the bytes they name. */
  importRecords(call: ImportCall): Promise<ImportedThroughService>;
}

/** What came of an export; `seq` is absent where there was nothing to change. */
export interface ImportedThroughService extends Omit<Imported, 'changed'> {
  readonly seq?: number;
}

/** Who makes a change, as the history shows it. */
const BY = 'command line';

/** The service for a book that this process has open. */
export function bookServiceOf(book: Book): BookService {
  const { store } = book.ports;
  return {
    async counts() {
      const counts = await store.counts();
      return {
        seq: await store.lastSeq(),
        counts: [...counts].map(([kind, count]) => ({ kind, ...count })),
      };
    },
    get: (id) => store.get(id),
    list: (call) => listBook(book, call),
    search: (call) => searchBook(book, { ...call, offset: 0 }),
    nearest: (query) => nearestInBook(book, query),
    stock: () => stockOnHand(book),
    changes: (limit) => changesOf(book, { limit }),
    history: (id, limit) => historyOf(book, id, { limit }),
    change: (change) => changeBook(book, { by: BY, ...change }),
    changeWithFiles: (change, files) =>
      withFiles(book, files, () => changeBook(book, { by: BY, ...change })),
    clayBytes: (record) => bytesOf(book, record),
    undo: (seq) => undoInBook(book, { by: BY, ...(seq === undefined ? {} : { seq }) }),
    redo: (seq) => redoInBook(book, { by: BY, ...(seq === undefined ? {} : { seq }) }),
    async savePhoto(bytes, body, what) {
      return changedRecord(await savePhoto(book, { bytes, body, what, by: BY }));
    },
    async saveLearned(learned) {
      await saveLearned(book, learned);
    },
    async importRecords(call) {
      const { changed, ...counts } = await importRecords(book, { by: BY, ...call });
      return { ...counts, ...(changed === undefined ? {} : { seq: changed.group.seq }) };
    },
  };
}

/** All live records of a kind, by name. */
export async function allAt<K extends BookKind>(
  service: Pick<BookService, 'list'>,
  kind: K,
): Promise<readonly Extract<BookRecord, { kind: K }>[]> {
  const records: BookRecord[] = [];
  let cursor: string | undefined;
  do {
    const page: Listed = await service.list({
      kind,
      sort: 'name',
      limit: 500,
      ...(cursor === undefined ? {} : { cursor }),
    });
    records.push(...page.records);
    cursor = page.cursor;
  } while (cursor !== undefined);
  return records as Extract<BookRecord, { kind: K }>[];
}
