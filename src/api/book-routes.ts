import { z } from 'zod';
import { changeSchema, GROUP_SORTS, type JournalGroup } from '../domain/records/change.ts';
import { idSchema, line, moment } from '../domain/records/pieces.ts';
import {
  BOOK_BODIES,
  BOOK_KINDS,
  type BookKind,
  bookRecordSchema,
  unionOfKinds,
} from '../domain/records/record.ts';
import {
  type ApiRoutes,
  flag,
  idempotent,
  MOST_BODY_BYTES,
  preconditions,
  real,
  several,
  whole,
} from './route.ts';

// Each body stands once in the OpenAPI document, however many calls take or give it.
for (const kind of BOOK_KINDS) {
  const id = `${kind.replace(/(?:^|-)(\w)/g, (_, letter: string) => letter.toUpperCase())}Body`;
  z.globalRegistry.add(BOOK_BODIES[kind], { id });
}

export const kindSchema = z.enum(BOOK_KINDS as [BookKind, ...BookKind[]]).meta({ id: 'BookKind' });
export const recordSchema = bookRecordSchema.meta({ id: 'BookRecord' });
const version = z.int().min(1);
const seq = z.int().min(0);
const idParams = z.strictObject({ id: idSchema });

const journalGroupSchema = z
  .object({
    seq,
    at: moment,
    what: z.string(),
    sort: z.enum(GROUP_SORTS),
    root: seq.exactOptional(),
    by: z.string().exactOptional(),
    key: z.string().exactOptional(),
    state: z.enum(['done', 'undone', 'settled']),
    head: seq,
    records: z.int().min(0),
  })
  .meta({ id: 'JournalGroup' }) satisfies z.ZodType<JournalGroup>;

const journalEntrySchema = z
  .object({
    seq,
    kind: kindSchema,
    id: idSchema,
    before: recordSchema.exactOptional(),
    after: recordSchema.exactOptional(),
  })
  .meta({ id: 'JournalEntry' });

/** One change, for pages that show the book; with `many` the records are not listed and the page reloads. */
export const changeEventSchema = z
  .object({
    group: journalGroupSchema,
    records: z.array(
      z.object({
        kind: kindSchema,
        id: idSchema,
        version: version.exactOptional(),
        deleted: z.boolean().exactOptional(),
      }),
    ),
    many: z.literal(true).exactOptional(),
  })
  .meta({ id: 'ChangeEvent' });
export type ChangeEvent = z.output<typeof changeEventSchema>;

export const changedSchema = z
  .object({
    group: journalGroupSchema,
    records: z.array(recordSchema),
    /** It was sent before under this key, and was done then. */
    repeated: z.boolean(),
  })
  .meta({ id: 'Changed' });

const put = <K extends BookKind>(kind: K) =>
  z.strictObject({
    kind: z.literal(kind),
    /** As the history shows it; made up from the record when absent. */
    what: line(300).exactOptional(),
    body: BOOK_BODIES[kind],
  });
const newRecord = <K extends BookKind>(kind: K) =>
  put(kind).extend({ id: idSchema.exactOptional() });

const putSchema = unionOfKinds(
  put as (kind: BookKind) => { [K in BookKind]: ReturnType<typeof put<K>> }[BookKind],
).meta({ id: 'RecordPut' });

const makeSchema = unionOfKinds(
  newRecord as (kind: BookKind) => { [K in BookKind]: ReturnType<typeof newRecord<K>> }[BookKind],
).meta({ id: 'RecordMake' });

/** As the book takes it, but for key and sender, which the server sets. */
export const sentChangeSchema = changeSchema
  .unwrap()
  .omit({ key: true, by: true })
  .meta({ id: 'Change' });

const turnSchema = z.strictObject({ seq: seq.exactOptional() }).meta({ id: 'Turn' });

const page = { limit: whole(1, 500).default(50) };
const listed = z
  .object({
    records: z.array(recordSchema),
    /** Of all pages together. */
    total: z.int().min(0),
    /** For the next page; absent on the last. */
    cursor: z.string().exactOptional(),
  })
  .meta({ id: 'RecordPage' });

export const BOOK_ROUTES = {
  listRecords: {
    says: 'One page of records, sorted and filtered',
    who: 'paired',
    query: z.strictObject({
      kind: kindSchema.exactOptional(),
      bin: flag.exactOptional(),
      status: z.string().max(40).exactOptional(),
      tag: z.string().min(1).max(240).exactOptional(),
      uses: idSchema.exactOptional(),
      role: z.string().max(40).exactOptional(),
      sort: z.enum(['name', 'code', 'changed', 'created']).default('name'),
      descending: flag.exactOptional(),
      cursor: z.string().max(2000).exactOptional(),
      ...page,
    }),
    answer: listed,
  },
  makeRecord: {
    says: 'Keeps a new record',
    who: 'paired',
    headers: idempotent,
    body: makeSchema,
    answer: recordSchema,
    status: 201,
  },
  getRecord: {
    says: 'One record, also a deleted one',
    who: 'paired',
    params: idParams,
    headers: preconditions,
    answer: recordSchema,
  },
  putRecord: {
    says: 'Changes a record whose version If-Match names; makes it with If-None-Match: *',
    who: 'paired',
    params: idParams,
    headers: preconditions,
    body: putSchema,
    answer: recordSchema,
  },
  binRecord: {
    says: 'Deletes a record; it can be restored',
    who: 'paired',
    params: idParams,
    headers: preconditions,
    answer: recordSchema,
  },
  restoreRecord: {
    says: 'Restores a deleted record',
    who: 'paired',
    params: idParams,
    headers: preconditions,
    answer: recordSchema,
  },
  recordHistory: {
    says: 'What was done to one record, newest first',
    who: 'paired',
    params: idParams,
    query: z.strictObject({ before: whole(1, 1e15).exactOptional(), ...page }),
    answer: z.object({
      steps: z.array(
        z.object({
          group: journalGroupSchema,
          before: recordSchema.exactOptional(),
          after: recordSchema.exactOptional(),
        }),
      ),
    }),
  },
  countRecords: {
    says: 'How many records of each kind there are',
    who: 'paired',
    answer: z.object({
      seq,
      counts: z.array(
        z.object({ kind: kindSchema, live: z.int().min(0), deleted: z.int().min(0) }),
      ),
    }),
  },
  search: {
    says: 'Records by words of their code, name, tags, line, notes and colours',
    who: 'paired',
    query: z.strictObject({
      text: z.string().min(1).max(500),
      kind: several(kindSchema, BOOK_KINDS.length).exactOptional(),
      bin: flag.exactOptional(),
      limit: whole(1, 200).default(50),
      offset: whole(0, 1e6).default(0),
    }),
    answer: z.object({ records: z.array(recordSchema), total: z.int().min(0) }),
  },
  nearest: {
    says: 'Blocks, mixes and tiles whose colour is closest to one, by CIEDE2000',
    who: 'paired',
    query: z.strictObject({
      /** D50, 2 degrees. */
      l: real(-0.5, 101),
      a: real(-200, 200),
      b: real(-200, 200),
      kind: several(kindSchema, BOOK_KINDS.length).exactOptional(),
      within: real(0, 200).exactOptional(),
      raw: flag.exactOptional(),
      top: whole(1, 200).default(20),
    }),
    answer: z.object({
      near: z.array(
        z.object({
          record: recordSchema,
          /** The reading that tells the colour, or the mix where it was predicted. */
          source: idSchema,
          predicted: z.boolean(),
          dE00: z.number(),
        }),
      ),
    }),
  },
  stock: {
    says: 'What is owned, summed from the ledger',
    who: 'paired',
    query: z.strictObject({ of: idSchema.exactOptional() }),
    answer: z.object({
      stock: z.array(
        z.object({
          of: z.object({ kind: z.enum(['block', 'powder', 'mix']), id: idSchema }),
          grams: z.number().exactOptional(),
          millilitres: z.number().exactOptional(),
          asOf: z.iso.date(),
        }),
      ),
    }),
  },
  purgeDeleted: {
    says: 'Empties the bin; the one way to lose anything for good',
    who: 'owner',
    answer: z.object({
      group: journalGroupSchema.exactOptional(),
      records: z.int().min(0),
      files: z.int().min(0),
    }),
  },
  listChanges: {
    says: 'Changes of the book, newest first',
    who: 'paired',
    query: z.strictObject({ before: whole(1, 1e15).exactOptional(), ...page }),
    answer: z.object({ changes: z.array(journalGroupSchema) }),
  },
  makeChange: {
    says: 'Changes the book: all steps or none',
    who: 'paired',
    headers: idempotent,
    body: sentChangeSchema,
    answer: changedSchema,
    mostBytes: 32 * MOST_BODY_BYTES,
  },
  getChange: {
    says: 'One change, with every record before and after',
    who: 'paired',
    params: z.strictObject({ seq: whole(1, 1e15) }),
    answer: z.object({ group: journalGroupSchema, entries: z.array(journalEntrySchema) }),
  },
  undo: {
    says: 'Takes a change back; the newest when none is named',
    who: 'paired',
    headers: idempotent,
    body: turnSchema,
    answer: changedSchema,
  },
  redo: {
    says: 'Does a change again that was undone',
    who: 'paired',
    headers: idempotent,
    body: turnSchema,
    answer: changedSchema,
  },
  events: {
    says: 'Changes and jobs as they happen, after the change named by Last-Event-ID or `after`',
    who: 'paired',
    headers: z.looseObject({ 'last-event-id': z.string().max(100).exactOptional() }),
    query: z.strictObject({ after: whole(0, 1e15).exactOptional() }),
    answer: 'events',
  },
} as const satisfies Partial<ApiRoutes>;
