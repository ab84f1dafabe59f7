import { z } from 'zod';
import type { Lab } from '../core/colour/triples.ts';
import type { KnownClays, OpenExplanation } from '../core/find/known-clays.ts';
import type { Recipe } from '../core/notation/notation.ts';
import type { Side, Verdict } from '../core/verdict/verdict.ts';

/** A colour of an answer: any three numbers, as the model may predict more than a tile can show. */
export const labAnswer: z.ZodType<Lab> = z.tuple([z.number(), z.number(), z.number()]).readonly();

/** Parts by the names of clays, most parts first. */
export const recipeAnswer: z.ZodType<Recipe> = z
  .array(z.object({ clay: z.string(), parts: z.number() }).readonly())
  .readonly();

export const sideAnswer: z.ZodType<Side> = z.object({ word: z.string(), size: z.number() });

export const verdictAnswer: z.ZodType<Verdict> = z.object({
  word: z.enum(['same', 'match', 'close', 'family', 'different']),
  dE00: z.number(),
  plusMinus: z.number(),
  sentence: z.string(),
});

/** The colour wanted as it was understood. */
export const aimAnswer = z
  .object({
    /** Under the viewing of the question. */
    lab: labAnswer,
    words: z.string(),
    /** What was taken on the way, in plain sentences. */
    notes: z.array(z.string()).readonly(),
  })
  .readonly();
export type AimTaken = z.output<typeof aimAnswer>;

/** What is open about the tiles, for the answer of a verb. */
export function explanationsOf({ explanations }: KnownClays): {
  readonly explanations?: readonly OpenExplanation[];
} {
  return explanations === undefined ? {} : { explanations };
}
