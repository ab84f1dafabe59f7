import { z } from 'zod';
import { labUnder, type Viewing } from '../core/colour/adaptation.ts';
import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import type { Lab } from '../core/colour/triples.ts';
import { colourWeights } from '../core/colour/weights.ts';
import { clayName, type KnownClays, recipeOf } from '../core/find/known-clays.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';

import type { WholeParts } from '../core/mixes/whole-parts.ts';

import { seededChance } from '../core/numeric/seeded-chance.ts';
import { startTrial, takeVerdict } from '../core/trial/by-eye.ts';
import {
  believedRecipe,
  bestRecipe,
  expectedErrorOf,
  proposeBalls,
} from '../core/trial/by-eye-expected-error.ts';
import { EYE_GRADES, EYE_WORDS } from '../core/trial/by-eye-observer.ts';
import { range } from '../domain/records/pieces.ts';
import { READING_DEFAULTS } from '../domain/records/reading.ts';
import { readAim } from './aim.ts';
import { aimAnswer, labAnswer, recipeAnswer } from './answer-parts.ts';
import { checkBasis, clayIndices, partsByIndex } from './open-clay.ts';
import { aimSchema, basis, only, recipeSchema, viewing, where } from './question-parts.ts';
import { claysToTry } from './try-clays.ts';
import { verb, words } from './verb.ts';

/** One question has one answer: what is drawn hangs on nothing but the verdicts. */
const SEED = 1;

const trial = z
  .strictObject({
    balls: z.array(recipeSchema).min(1).max(3).readonly(),
    /** Absent while the balls are rolled and not yet judged. */
    verdict: z
      .strictObject({
        /** Which ball is closest, 0 is the first, or none to choose between. */
        nearest: z.union([z.int().min(0).max(2), z.literal('none')]),
        /** How it looks beside the original; of every ball where none is closest. */
        how: z.array(z.enum(EYE_WORDS)).max(8).readonly().exactOptional(),
        /** How much of a word in `how`. */
        much: z.partialRecord(z.enum(EYE_WORDS), z.enum(EYE_GRADES)).readonly().exactOptional(),
      })
      .readonly()
      .exactOptional(),
    where,
  })
  .readonly();

export const tryQuestion = z.strictObject({
  aim: aimSchema.meta(
    words({
      option: 'aim',
      value: 'COLOUR',
      example: '#8a9b6c',
      help: 'the colour you want, written as for find',
    }),
  ),
  aimSpread: range(0, 20)
    .default(6)
    .meta(
      words({
        option: 'aim-spread',
        value: 'N',
        help: 'how far the aim may be off, standard deviation of each of L, a, b: 6 as for a colour tapped in a picture, 0.5 for one an instrument read',
      }),
    ),
  trials: z
    .array(trial)
    .max(100)
    .default([])
    .meta(
      words({
        help: 'the test balls so far, in order; the last may still wait for its verdict',
        file: {
          option: 'verdicts',
          holds: 'trials',
          help: 'the test balls so far and what your eye said: a CSV file with the columns trial,A,B,C,nearest,how (docs/formats.md has it); the next row to fill in is printed every time',
        },
      }),
    ),
  mostClays: z
    .int()
    .min(1)
    .max(6)
    .default(4)
    .meta(words({ option: 'clays', value: 'N', help: 'most different clays in one ball' })),
  parts: z
    .int()
    .min(1)
    .max(24)
    .default(10)
    .meta(words({ option: 'parts', value: 'N', help: 'most whole parts in one ball' })),
  only,
  basis,
  viewing,
});
export type TryQuestion = z.output<typeof tryQuestion>;

const ball = z.object({
  parts: recipeAnswer,
  /** Middle of what is believed of its colour. */
  lab: labAnswer,
  /** D50 and 2 degrees, for showing it. */
  shown: labAnswer,
});
export type Ball = z.output<typeof ball>;

const tryAnswer = z.object({
  aim: aimAnswer,
  /** Verdicts weighed. */
  heard: z.int(),
  /** Next to roll, or still waiting for a verdict; none when a ball looked the same. */
  balls: z.array(ball),
  /** Whether `balls` are the last trial, not yet judged. */
  waiting: z.boolean(),
  best: ball.extend({
    /** Mean dE00 between its colour and the aim that is to be expected. */
    expected: z.number(),
    plusMinus: z.number(),
    /** Chance that it is within 1.8 of the aim. */
    chance: z.number(),
  }),
  /** The last verdict called `best` the same as the original. */
  same: z.boolean(),
  /** Same, or the chance of a match is better than even. */
  keep: z.boolean(),
  /** Where there are too many clays to look at all their mixes: those that were chosen. */
  chosen: z.array(z.string()).exactOptional(),
});
export type TryAnswer = z.output<typeof tryAnswer>;

/**
 * Three test balls to roll and judge by eye, or the recipe to keep, by the verdicts so far.
 * Refuses: an unknown clay, the other basis, each with its place
 * Holds:   the same question gives the same answer
 */
export const tryBalls = verb({
  name: 'try',
  asks: 'Which of these test balls is closest?',
  question: tryQuestion,
  answer: tryAnswer,
  *run(clays: KnownClays, question: TryQuestion): WorkSteps<TryAnswer> {
    const { aimSpread, viewing, parts, mostClays } = question;
    checkBasis(clays, question.basis, 2);
    const aim = readAim(question.aim, viewing, clays);
    const rolled = question.trials.map((row) => ({
      row,
      recipes: row.balls.map((ball) => partsByIndex(clays, ball, row.where)),
    }));
    const weights = colourWeights(viewing.light, viewing.observer);
    const allowed = clayIndices(clays, question.only);
    const search = { aim: aim.lab, weights, clays: allowed, mostClays, parts };
    const chosen = yield* claysToTry(
      clays.predictor,
      search,
      rolled.flatMap(({ recipes }) => recipes.flatMap((r) => r.map(({ clay }) => clay))),
    );
    const chance = seededChance(SEED);
    const variance = aimSpread ** 2;
    const partsSpread = READING_DEFAULTS.partsSpreadOfMix;
    let trial = startTrial(
      clays.predictor,
      { lab: aim.lab, covariance: [variance, 0, 0, 0, variance, 0, 0, 0, variance] },
      { weights, clays: chosen ?? allowed, mostClays, parts, partsSpread },
      chance,
    );
    for (const [i, { row, recipes }] of rolled.entries()) {
      const { verdict } = row;
      if (verdict === undefined) continue;
      const before = trial;
      trial = yield* once(`weighing verdict ${i + 1} of ${rolled.length}`, () =>
        takeVerdict(before, recipes, verdict, chance),
      );
    }
    const last = rolled.at(-1);
    const said = last?.row.verdict;
    const same =
      last !== undefined && typeof said?.nearest === 'number' && said.how?.includes('same') === true
        ? last.recipes[said.nearest]
        : undefined;
    const waiting = last !== undefined && said === undefined;
    return yield* once('choosing test balls', () => {
      const outlook = expectedErrorOf(trial, chance, last?.recipes ?? []);
      const show = (recipe: WholeParts) =>
        ballOf(clays, recipe, believedRecipe(outlook, recipe).lab, viewing);
      const found = same === undefined ? bestRecipe(outlook) : believedRecipe(outlook, same);
      const keep = !waiting && (same !== undefined || found.chanceOfMatch > 0.5);
      const next = waiting ? last.recipes : same === undefined ? proposeBalls(outlook) : [];
      const { expected, plusMinus, chanceOfMatch } = found;
      return {
        aim,
        heard: trial.verdicts.length,
        waiting,
        balls: next.map(show),
        best: { ...show(found.recipe), expected, plusMinus, chance: chanceOfMatch },
        same: same !== undefined,
        keep,
        ...(chosen === undefined ? {} : { chosen: chosen.map((clay) => clayName(clays, clay)) }),
      };
    });
  },
});

function ballOf(clays: KnownClays, recipe: WholeParts, lab: Lab, viewing: Viewing): Ball {
  return {
    parts: recipeOf(clays, recipe),
    lab,
    shown: labUnder(lab, viewing, HOUSE_VIEWING),
  };
}
