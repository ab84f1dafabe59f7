import { z } from 'zod';
import {
  blockBody,
  lineBody,
  powderBody,
  purchaseBody,
  stockEntryBody,
  wishBody,
} from './clay-bodies.ts';
import {
  clayModelBody,
  collectionBody,
  figureBody,
  mixBody,
  noteBody,
  paletteBody,
  settingsBody,
} from './mix-bodies.ts';
import { idSchema, moment } from './pieces.ts';
import { boxBody, photoBody, readingBody, tileBody } from './sample-bodies.ts';
import { bendTestBody, ovenCheckBody } from './strength-bodies.ts';

/** Every kind of record with the shape of its body; docs/book.md says what each is for. */
export const BOOK_BODIES = {
  line: lineBody,
  block: blockBody,
  purchase: purchaseBody,
  'stock-entry': stockEntryBody,
  powder: powderBody,
  wish: wishBody,
  box: boxBody,
  tile: tileBody,
  reading: readingBody,
  photo: photoBody,
  mix: mixBody,
  palette: paletteBody,
  'clay-model': clayModelBody,
  note: noteBody,
  figure: figureBody,
  'bend-test': bendTestBody,
  'oven-check': ovenCheckBody,
  collection: collectionBody,
  settings: settingsBody,
} as const;

export type BookKind = keyof typeof BOOK_BODIES;
export const BOOK_KINDS = Object.keys(BOOK_BODIES) as BookKind[];
export type BodyOf<K extends BookKind> = z.infer<(typeof BOOK_BODIES)[K]>;

interface Envelope<K extends BookKind> {
  readonly kind: K;
  /** Unique in the book, over all kinds. */
  readonly id: string;
  /** 1 when it is made, one more with every change, never less. */
  readonly version: number;
  readonly createdAt: string;
  readonly changedAt: string;
  /** Present while the record is deleted. */
  readonly deletedAt?: string;
  readonly body: BodyOf<K>;
}

export type RecordOf<K extends BookKind> = Envelope<K>;
/** A record of any kind; `kind` tells the shape of the body. */
export type BookRecord = { [K in BookKind]: Envelope<K> }[BookKind];

const envelope = <K extends BookKind>(kind: K) =>
  z
    .strictObject({
      kind: z.literal(kind),
      id: idSchema,
      version: z.int().min(1).max(1e9),
      createdAt: moment,
      changedAt: moment,
      deletedAt: moment.exactOptional(),
      body: BOOK_BODIES[kind],
    })
    .readonly();

/**
 * One schema for all kinds, chosen by `kind`: `of` makes the schema of each kind.
 * Holds: a kind that is added to `BOOK_BODIES` is in every union made here
 */
export function unionOfKinds<S extends z.core.$ZodTypeDiscriminable>(of: (kind: BookKind) => S) {
  return z.discriminatedUnion('kind', BOOK_KINDS.map(of) as [S, ...S[]]);
}

/**
 * A record as it crosses a boundary (an answer, an export, a backup).
 * Refuses: unknown fields, a body that is not of its kind
 */
export const bookRecordSchema = unionOfKinds(
  envelope as (kind: BookKind) => { [K in BookKind]: ReturnType<typeof envelope<K>> }[BookKind],
);
