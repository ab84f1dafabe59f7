import { z } from 'zod';
import { clayIndex, type KnownClays } from '../core/find/known-clays.ts';
import { predictViewed } from '../core/find/predicted-mix.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { parseRecipe, sharesOf } from '../core/notation/notation.ts';
import { explanationsSchema } from '../domain/explanation.ts';
import { namedPowder } from '../domain/powders.ts';
import { powdersNotPredicted } from '../domain/powders-in-words.ts';
import { explanationsOf, labAnswer } from './answer-parts.ts';
import { checkBasis } from './open-clay.ts';
import { basis, type MixAsked, mixSchema, viewing } from './question-parts.ts';
import { verb, words } from './verb.ts';

export const predictQuestion = z.strictObject({
  wanted: z
    .array(mixSchema)
    .min(1)
    .readonly()
    .meta(
      words({
        option: 'of',
        value: 'RECIPE',
        example: '1 Kelp + 3 Foam',
        reads: 'mix',
        help: 'like "1 Kelp + 3 Foam" or "3 (2 Kelp + 1 Foam) + 1 Limpet"',
        file: {
          option: 'from',
          holds: 'recipes',
          help: 'a CSV file with a column "of", and "basis" if wanted; all rows or none',
        },
      }),
    ),
  basis,
  viewing,
});
export type PredictQuestion = z.output<typeof predictQuestion>;

export const predictionSchema = z
  .object({
    /** As it was written. */
    of: z.string(),
    /** Under the viewing asked for. */
    lab: labAnswer,
    /** 3 x 3 by rows, CIELAB units squared. */
    covariance: z.array(z.number()).length(9),
    /** Size of the ±, dE00. */
    plusMinus: z.number(),
    /** 36 bands, 0-1. */
    spectrum: z.array(z.number()).length(36),
    /** D50 and 2 degrees, for showing it. */
    shown: labAnswer,
    /** Powders to work in, and the sentence that says what the prediction leaves out. */
    powders: z.array(namedPowder).exactOptional(),
    notPredicted: z.string().exactOptional(),
  })
  .meta({ id: 'Prediction' });
export type PredictedRow = z.output<typeof predictionSchema>;

const predictAnswer = z.object({
  predicted: z.array(predictionSchema),
  explanations: explanationsSchema.exactOptional(),
});

export type PredictAnswer = z.output<typeof predictAnswer>;

/**
 * The colour of mixes. All of them, or none.
 * Refuses: a recipe that cannot be read, an unknown clay, the other basis, each with its place
 */
export const predict = verb({
  name: 'predict',
  asks: 'What comes out of this mix?',
  question: predictQuestion,
  answer: predictAnswer,
  *run(clays: KnownClays, question: PredictQuestion): WorkSteps<PredictAnswer> {
    return yield* once('predicting', () => ({
      predicted: question.wanted.map((mix) => predictOne(clays, mix, question)),
      ...explanationsOf(clays),
    }));
  },
});

function predictOne(
  clays: KnownClays,
  mix: MixAsked,
  { viewing, basis }: PredictQuestion,
): PredictedRow {
  const { where = '' } = mix;
  const shares = sharesOf('recipe' in mix ? mix.recipe : parseRecipe(mix.words));
  checkBasis(clays, mix.basis ?? basis, shares.length, where);
  const parts = shares.map(({ clay, share }) => ({ clay: clayIndex(clays, clay, where), share }));
  const { covariance, spectrum, ...rest } = predictViewed(clays.predictor, parts, viewing);
  return {
    of: mix.words.trim(),
    ...rest,
    covariance: [...covariance],
    spectrum: [...spectrum],
    ...powdersOf(mix),
  };
}

function powdersOf(mix: MixAsked): Pick<PredictedRow, 'powders' | 'notPredicted'> {
  const powders = 'recipe' in mix ? (mix.powders ?? []) : [];
  if (powders.length === 0) return {};
  return {
    powders: [...powders],
    notPredicted: powdersNotPredicted(powders.map(({ name }) => name)),
  };
}
