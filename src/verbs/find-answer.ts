import { z } from 'zod';
import {
  FOUND_REASONS,
  type FindResult as Found,
  type FoundRecipe,
} from '../core/find/find-answer.ts';
import { RELAX } from '../core/find/find-limits.ts';
import type { PreMixFound } from '../core/find/find-pre-mix.ts';
import { CLAY_EFFECTS } from '../core/find/flat-clays.ts';
import type { GapReport } from '../core/find/gap-report.ts';
import type { OpenExplanation } from '../core/find/known-clays.ts';
import { explanationsSchema } from '../domain/explanation.ts';
import {
  type AimTaken,
  aimAnswer,
  labAnswer,
  recipeAnswer,
  sideAnswer,
  verdictAnswer,
} from './answer-parts.ts';

export interface FindAnswer extends Found {
  readonly aim: AimTaken;
  readonly explanations?: readonly OpenExplanation[];
}

const foundRecipe: z.ZodType<FoundRecipe> = z.object({
  parts: recipeAnswer,
  lab: labAnswer,
  dE00: z.number(),
  plusMinus: z.number(),
  verdict: verdictAnswer,
  chance: z.number(),
  shown: labAnswer,
  covariance: z.array(z.number()),
  effects: z.array(z.enum(CLAY_EFFECTS)).exactOptional(),
  rough: z.array(z.string()).readonly().exactOptional(),
  times: z.number().exactOptional(),
  priceMinorPerKg: z.number().exactOptional(),
});

const gapReport: z.ZodType<GapReport> = z.object({
  dE00: z.number().exactOptional(),
  sides: z.array(sideAnswer),
  helps: z.array(
    z.object({
      kind: z.enum([
        ...['parts', 'clays', 'only', 'without', 'must', 'lines', 'mostLines'],
        ...['atLeast', 'atMost', 'halfPart', 'effects', 'batchG'],
      ] as const),
      of: z.string().exactOptional(),
      value: z.number().exactOptional(),
      recipe: recipeAnswer,
      dE00: z.number(),
      shown: labAnswer,
    }),
  ),
  insteads: z.array(
    z.object({
      relax: z.enum(RELAX),
      recipe: recipeAnswer,
      sides: z.array(sideAnswer),
      shown: labAnswer,
    }),
  ),
  missing: z
    .object({
      name: z.string(),
      chroma: z.number(),
      lab: labAnswer,
      shown: labAnswer,
      dE00: z.number(),
    })
    .exactOptional(),
});

const preMix: z.ZodType<PreMixFound> = z.object({
  instead: recipeAnswer,
  times: z.number(),
  strong: z.string(),
  moves: z.number(),
  first: recipeAnswer.exactOptional(),
  preMixParts: z.number().exactOptional(),
  others: recipeAnswer.exactOptional(),
  dE00: z.number().exactOptional(),
});

export const findAnswer: z.ZodType<FindAnswer> = z.object({
  aim: aimAnswer,
  recipes: z.array(foundRecipe),
  alternatives: z.array(
    z.object({
      reason: z.enum(FOUND_REASONS),
      recipe: foundRecipe,
    }),
  ),
  frontier: z.array(foundRecipe),
  gapReport: gapReport.exactOptional(),
  preMix: preMix.exactOptional(),
  tried: z.number(),
  unlearned: z.array(z.string()),
  total: z.number(),
  settled: z.number(),
  proven: z.boolean(),
  endedBy: z.enum(['stop', 'time']).exactOptional(),
  explanations: explanationsSchema.exactOptional(),
});
