import type { Lab } from '../core/colour/triples.ts';
import type { IndexFields } from '../domain/index-fields.ts';
import type { JournalEntry, JournalGroup } from '../domain/records/change.ts';
import type { BodyOf, BookKind, BookRecord } from '../domain/records/record.ts';

/** What an engine can do; asked of it, never guessed from its name. */
export interface StoreCapabilities {
  /** Only this process can change the book while it is open. */
  readonly soleOwner: boolean;
  /** What was acknowledged survives the loss of power. */
  readonly durable: boolean;
}

export interface Use {
  readonly fromId: string;
  readonly fromKind: BookKind;
  readonly toId: string;
  /** In which field, `parts`, `tile`, `label`. */
  readonly role: string;
}

export const SORTS = ['name', 'code', 'changed', 'created'] as const;

export interface StoredQuery {
  readonly kind?: BookKind;
  /** Live records unless said otherwise. */
  readonly bin?: boolean;
  readonly status?: string;
  readonly tag?: string;
  /** Only records that name this one, in any field or in one. */
  readonly uses?: { readonly id: string; readonly role?: string };
  readonly sort: (typeof SORTS)[number];
  readonly descending: boolean;
  readonly limit: number;
  /** As a page before gave it. */
  readonly after?: ListPlace;
}

/** Where a page ended: the value it was sorted by, and the id that settles ties. */
export interface ListPlace {
  readonly value: string | number;
  readonly id: string;
}

export interface StoredPage {
  readonly records: readonly BookRecord[];
  readonly total: number;
  readonly next?: ListPlace;
}

export interface CodeHolder {
  readonly space: string;
  readonly key: string;
  readonly id: string;
}

/** A record with what is derived from it, as search and checks read it. */
export interface BookRow {
  readonly record: BookRecord;
  readonly facts: IndexFields;
  readonly createdSeq: number;
}

/** What the search index keeps of a record. */
export interface ColourIndexRow {
  readonly id: string;
  readonly kind: BookKind;
  readonly live: boolean;
  readonly createdSeq: number;
  readonly changedSeq: number;
  readonly sortCode: string;
  readonly sortName: string;
  readonly status?: string;
  readonly words: string;
  /** Folded, in order. */
  readonly tags: readonly string[];
  readonly lab?: Lab;
  /** The fields that lead to what it is a sample or a mix of, and to where it lies. */
  readonly links: readonly { readonly role: string; readonly to: string }[];
}

/** Roles of the links the index follows. */
export const COLOUR_ROLES = ['of', 'parts', 'line', 'box', 'holds', 'inside'] as const;

/** Where a page of index rows ended. */
export interface IndexPlace {
  readonly createdSeq: number;
  readonly id: string;
}

/** What a record says, and where it is in the order of making. */
export interface BodyRow<K extends BookKind> extends IndexPlace {
  readonly body: BodyOf<K>;
}

/** Reading a book. Answers are of one moment each. */
export interface BookReads {
  get(id: string): Promise<BookRecord | undefined>;
  /** Those that are there. */
  getMany(ids: readonly string[]): Promise<ReadonlyMap<string, BookRecord>>;
  list(query: StoredQuery): Promise<StoredPage>;
  /** Live records that cannot do without any of `ids`. */
  usersOf(ids: readonly string[]): Promise<readonly Use[]>;
  /** Live holders of any of the codes. */
  codeHolders(codes: readonly Omit<CodeHolder, 'id'>[]): Promise<readonly CodeHolder[]>;
  /** All rows in order of id, `limit` at a time, the bin too; links by role and id, tags in order. */
  rows(afterId: string, limit: number, kind?: BookKind): Promise<readonly BookRow[]>;
  /** The same in short, for the index: live or deleted ones, in order of making, then of id. */
  indexRows(
    live: boolean,
    after: IndexPlace | undefined,
    limit: number,
  ): Promise<readonly ColourIndexRow[]>;
  /** Bodies of live records of one kind, in order of making, then of id. */
  bodies<K extends BookKind>(
    kind: K,
    after: IndexPlace | undefined,
    limit: number,
  ): Promise<readonly BodyRow<K>[]>;
  counts(): Promise<ReadonlyMap<BookKind, { readonly live: number; readonly deleted: number }>>;
  lastSeq(): Promise<number>;
  group(seq: number): Promise<JournalGroup | undefined>;
  groupByKey(key: string): Promise<JournalGroup | undefined>;
  /** Newest first, before `before`; or oldest first, after `after`. */
  groups(
    from: { readonly before?: number } | { readonly after: number },
    limit: number,
  ): Promise<readonly JournalGroup[]>;
  /** The newest change that holds; the last one undone, unless a change came after it. */
  undoable(): Promise<JournalGroup | undefined>;
  redoable(): Promise<JournalGroup | undefined>;
  /** In the order they were done. */
  entries(seq: number): Promise<readonly JournalEntry[]>;
  /** What was done to one record, newest first. */
  history(id: string, before: number | undefined, limit: number): Promise<readonly JournalEntry[]>;
}

export interface RowWrite {
  readonly before: BookRecord | undefined;
  readonly after: BookRecord;
  readonly facts: IndexFields;
}

/** Changing a book: what is called here holds all together or not at all. */
export interface BookWrites extends BookReads {
  /** A new group; its seq. `state` and `head` start as a change that is done. */
  addGroup(group: Omit<JournalGroup, 'seq' | 'state' | 'head'>): Promise<number>;
  /** Writes records with their derived rows and their journal entries; a record once a call. */
  write(seq: number, rows: readonly RowWrite[]): Promise<void>;
  /** A change was undone or done again by `head`. */
  turn(root: number, state: 'done' | 'undone', head: number): Promise<void>;
  /**
   * Takes records out for good: their rows, and what every journal entry said of them. Changes that
   * held such an entry become settled.
   */
  erase(seq: number, ids: readonly string[]): Promise<void>;
}

export interface BookStore extends BookReads {
  readonly capabilities: StoreCapabilities;
  /** One at a time; a thrown fault takes everything back. Resolved: on the disk. */
  transact<T>(work: (writes: BookWrites) => Promise<T>): Promise<T>;
  /** What the engine finds wrong with its own file; nothing when it is sound. */
  integrity(): Promise<readonly string[]>;
  close(): Promise<void>;
}

/** Bytes kept beside the records under their own checksum: photos, clay models. */
export interface SavedFiles {
  /** On the disk when it resolves. The same bytes twice are kept once. */
  put(
    bytes: Uint8Array,
    ending: string,
  ): Promise<{ readonly sha256: string; readonly bytes: number }>;
  /** Refuses: not there -> file-missing (not-found); other bytes than the name says -> file-damaged */
  get(sha256: string): Promise<Uint8Array>;
  list(): Promise<readonly string[]>;
  remove(sha256: string): Promise<void>;
}

/** What the book needs of the world. */
export interface BookPorts {
  readonly store: BookStore;
  readonly files: SavedFiles;
  /** Milliseconds since 1970, UTC; may be set back at any time. */
  readonly nowEpochMs: () => number;
  /** A name nobody has used: lower-case letters, digits, hyphens. */
  readonly newId: () => string;
  /** Hears of a fault that is nobody's answer: somebody who listens to the book failed at it. */
  readonly onTrouble?: (fault: unknown) => void;
}
