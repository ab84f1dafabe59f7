import { z } from 'zod';
import { idSchema, line } from './pieces.ts';
import {
  BOOK_BODIES,
  type BodyOf,
  type BookKind,
  type BookRecord,
  unionOfKinds,
} from './record.ts';

const version = z.int().min(1).max(1e9);

const put = <K extends BookKind>(kind: K) =>
  z
    .strictObject({
      do: z.literal('put'),
      kind: z.literal(kind),
      /** Left out: a new record, named by the book. */
      id: idSchema.exactOptional(),
      /** Of the record as the person saw it; left out for a new one. */
      version: version.exactOptional(),
      body: BOOK_BODIES[kind],
    })
    .readonly();

const putSchema = unionOfKinds(
  put as (kind: BookKind) => { [K in BookKind]: ReturnType<typeof put<K>> }[BookKind],
);

const moveSchema = z
  .strictObject({ do: z.enum(['delete', 'restore']), id: idSchema, version: version })
  .readonly();

const stepSchema = z.union([putSchema, moveSchema]);

/** Most records one change may touch; a larger import goes in several. */
export const MOST_STEPS = 5000;

/** One change of the book: all its steps or none. */
export const changeSchema = z
  .strictObject({
    /** What was done, as the history shows it: "Saved the mix Sea moss". */
    what: line(300),
    steps: z.array(stepSchema).min(1).max(MOST_STEPS).readonly(),
    /** A change sent twice with one key is done once. */
    key: z
      .string()
      .regex(/^[\x21-\x7e]{1,200}$/)
      .exactOptional(),
    /** Which device or program it came from. */
    by: line(100).exactOptional(),
  })
  .readonly();

/** Makes a record of a kind, or gives one another body. */
export interface PutStep<K extends BookKind> {
  readonly do: 'put';
  readonly kind: K;
  readonly id?: string;
  readonly version?: number;
  readonly body: BodyOf<K>;
}

export type BookStep =
  | { [K in BookKind]: PutStep<K> }[BookKind]
  | { readonly do: 'delete' | 'restore'; readonly id: string; readonly version: number };

export interface BookChange {
  readonly what: string;
  readonly steps: readonly BookStep[];
  readonly key?: string;
  readonly by?: string;
}

export const GROUP_SORTS = ['change', 'undo', 'redo', 'empty'] as const;

/** One change as the journal keeps it. */
export interface JournalGroup {
  /** Rises by one with every change of the book. */
  readonly seq: number;
  readonly at: string;
  readonly what: string;
  readonly sort: (typeof GROUP_SORTS)[number];
  /** Undo and redo: the change they belong to. */
  readonly root?: number;
  readonly by?: string;
  readonly key?: string;
  /** Of a change: whether it holds now, was undone, or can no longer be undone. */
  readonly state: 'done' | 'undone' | 'settled';
  /** Of a change: the newest group that did or undid it. */
  readonly head: number;
  readonly records: number;
}

/** What one change did to one record. Both absent: emptied from the bin since. */
export interface JournalEntry {
  readonly seq: number;
  readonly kind: BookKind;
  readonly id: string;
  readonly before?: BookRecord;
  readonly after?: BookRecord;
}
