import { z } from 'zod';
import type { Fault } from '../core/clay/explain/fault.ts';
import type { OpenExplanation } from '../core/find/known-clays.ts';

const row = z.int().min(0);
const one = z.tuple([row]).readonly();
const text = z.string().min(1).max(10_000);
const parts = z
  .array(z.strictObject({ clay: text, parts: z.number().positive() }).readonly())
  .min(1)
  .readonly();

/** What may be wrong with readings; rows count the readings that were learned from, 0 is the first. */
const faultSchema: z.ZodType<Fault> = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('swapped'), rows: z.tuple([row, row]).readonly() }).readonly(),
  z.strictObject({ kind: z.literal('reversed'), rows: one, parts }).readonly(),
  z.strictObject({ kind: z.literal('amounts'), rows: one, parts }).readonly(),
  z
    .strictObject({ kind: z.literal('other clay'), rows: one, clay: text, instead: text, parts })
    .readonly(),
  z.strictObject({ kind: z.literal('a and b exchanged'), rows: one }).readonly(),
  z.strictObject({ kind: z.literal('sign lost'), rows: one, axis: z.enum(['a', 'b']) }).readonly(),
  z
    .strictObject({
      kind: z.literal('scale'),
      rows: z.array(row).min(1).readonly(),
      axes: z.enum(['L', 'L, a and b']),
    })
    .readonly(),
  z.strictObject({ kind: z.literal('reading'), rows: one }).readonly(),
]);

/** One way in which the tiles may agree, while nobody has settled which tiles are wrong. */
const explanationSchema: z.ZodType<OpenExplanation> = z
  .strictObject({
    sentence: text,
    /** 0-1, among those that are likely at all. */
    probability: z.number().min(0).max(1),
    /** Names of the tiles to look at. */
    tiles: z.array(text).readonly(),
    /** Of the readings in `rows` of the faults, one after the other. */
    hashes: z.array(z.string().regex(/^[0-9a-f]{64}$/)).readonly(),
    /** None: the readings are right as they are. */
    faults: z.array(faultSchema).readonly(),
  })
  .readonly()
  .meta({ id: 'Explanation' });

/** The likeliest first; none where no tile seems wrong. */
export const explanationsSchema = z.array(explanationSchema).readonly();

/** The explanation to show first, with what it means for every answer. */
export function openExplanation(
  explanations: readonly OpenExplanation[] | undefined,
): string | undefined {
  const [first] = explanations ?? [];
  if (first === undefined) return undefined;
  return explanations!.length > 1
    ? `${first.sentence} Until you settle this, predictions count on it, and their ± allows for the other explanations.`
    : `${first.sentence} Until you settle this, predictions count on it.`;
}
