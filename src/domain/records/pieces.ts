import { z } from 'zod';
import { withoutInvisible } from '../../core/notation/clay-name.ts';
import { BOOK_LIMITS } from './limits.ts';
import { READING_RANGE } from './reading.ts';

/** Control characters, broken surrogates, the sign of a wrong encoding; notes may break lines. */
const READABLE = /^[^\p{Cc}\p{Cs}\ufffd]*$/u;
const READABLE_LINES = /^(?:[^\p{Cc}\p{Cs}\ufffd]|[\n\t])*$/u;

export const idSchema = z
  .string()
  .max(80)
  .regex(/^[a-z0-9](?:[a-z0-9-]*[a-z0-9])?$/);

/**
 * One line of text as the user wrote it, in composed letters. Outer white space is taken off, and so are
 * invisible characters, which come along when text is copied and make a name read as another one. All
 * names of the book come through here: from the page, the API, the command line and files.
 */
export const line = (most: number) =>
  z
    .string()
    .max(4 * most)
    .overwrite(withoutInvisible)
    .normalize('NFC')
    .trim()
    .min(1)
    .max(most)
    .regex(READABLE);

export const name = line(BOOK_LIMITS.name);
/** Free text from the user; two codes are the same if `codeKey` gives the same key. */
export const code = line(BOOK_LIMITS.code);
export const tag = line(BOOK_LIMITS.tag);
export const note = z
  .string()
  .overwrite(withoutInvisible)
  .min(1)
  .max(BOOK_LIMITS.note)
  .regex(READABLE_LINES);

/** Moments are UTC; days are the user's local dates. */
export const moment = z.iso.datetime({ precision: 3 });
export const day = z.iso.date();
export const sha256 = z.string().regex(/^[0-9a-f]{64}$/);

export const range = (low: number, high: number) => z.number().min(low).max(high);
export const massG = range(0, BOOK_LIMITS.massG);
export const volumeMl = range(0, BOOK_LIMITS.volumeMl);
export const thicknessMm = range(...READING_RANGE.thicknessMm);
/** Wider than any clay, so that a slip of a decimal point is seen and nothing else. */
export const densityGPerCm3 = range(0.3, 10);
/** Of ovens and rooms; what is too hot for a clay is the line's to say. */
export const tempC = range(-50, 400);
export const minutes = range(0, 10_000);
export const share = range(0, 1);

/** Whole minor units of the currency beside it. */
export const moneySum = z.strictObject({
  minor: z.int().min(0).max(1_000_000_000_000),
  /** Source: ISO 4217, alphabetic code. */
  currency: z.string().regex(/^[A-Z]{3}$/),
});

export const lab = z
  .tuple([
    range(...READING_RANGE.lightness),
    range(...READING_RANGE.axis),
    range(...READING_RANGE.axis),
  ])
  .readonly();

export const STATUSES = ['current', 'discontinued'] as const;
/** Of a block; one that is not owned came with somebody else's recipe, and no recipe of your own uses it. */
export const BLOCK_STATUSES = [...STATUSES, 'not owned'] as const;

/** One thing of another kind; exactly one of the ids is there. */
export const refTo = <const Kind extends string>(...kinds: readonly Kind[]) =>
  z.strictObject({ kind: z.enum(kinds), id: idSchema }).readonly();

/** What every record may carry. */
export const common = {
  note: note.exactOptional(),
  collectionIds: z.array(idSchema).max(BOOK_LIMITS.parts).readonly().exactOptional(),
};

/** One bake as it happened, not as planned: dial and clay temperatures are separate if the user knows both. */
export const bakeDone = z
  .strictObject({
    day: day.exactOptional(),
    setTempC: tempC.exactOptional(),
    /** Measured at the clay. */
    actualTempC: tempC.exactOptional(),
    minutes,
    note: note.exactOptional(),
  })
  .readonly();

export const parts = z
  .array(z.strictObject({ of: refTo('block', 'mix'), parts: range(1e-6, 1e6) }).readonly())
  .min(1)
  .max(BOOK_LIMITS.parts)
  .readonly();
