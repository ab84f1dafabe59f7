import { z } from 'zod';
import { labAnswer, recipeAnswer } from './answer-parts.ts';
import { findQuestion, findRules } from './find-question.ts';
import { basis, mostClaysTogether, names, recipeSchema } from './question-parts.ts';
import { words } from './verb.ts';

/** Fewest blocks, or least money for so many grams of each block bought. */
const GOALS = ['fewest', 'cheapest'] as const;
const pinned = (option: string, help: string) =>
  names.exactOptional().meta(words({ option, value: '"A, B"', help }));

export const buyOrMixQuestion = z.strictObject({
  lines: findRules.shape.lines,
  tolerance: findQuestion.shape.tolerance,
  mostClays: mostClaysTogether,
  parts: findQuestion.shape.parts,
  always: pinned('always', 'blocks that you buy whatever else holds, also of other lines'),
  never: pinned('never', 'blocks that you do not buy'),
  goal: z
    .enum(GOALS)
    .default(GOALS[0])
    .meta(
      words({
        option: 'goal',
        value: 'GOAL',
        help: 'the fewest blocks, or the cheapest by the prices of the stock',
      }),
    ),
  grams: z
    .number()
    .positive()
    .max(100_000)
    .exactOptional()
    .meta(
      words({
        option: 'grams',
        value: 'GRAMS',
        help: 'grams of each colour that you use in a season, to say what mixing saves',
      }),
    ),
  frontier: z
    .boolean()
    .exactOptional()
    .meta(
      words({
        option: 'frontier',
        help: 'also the piles at every other tolerance, from the same colour to the same family',
      }),
    ),
  /** Mixes saved as good enough for a block, however far off they are. */
  goodEnough: z
    .array(z.strictObject({ clay: z.string().min(1).max(400), recipe: recipeSchema }).readonly())
    .max(300)
    .readonly()
    .default([]),
  stock: findQuestion.shape.stock,
  basis,
});
export type BuyOrMixQuestion = z.output<typeof buyOrMixQuestion>;

const mixed = z.object({
  clay: z.string(),
  recipe: recipeAnswer,
  lab: labAnswer,
  /** D50 and 2 degrees, for showing them. */
  wantedShown: labAnswer,
  dE00: z.number(),
  /** Chance of coming within the tolerance, both colours as uncertain as they are. */
  chance: z.number(),
  /** Whether a tile should be baked before the block is left in the shop. */
  bakeFirst: z.boolean(),
  /** The user saved this mix as good enough for the block. */
  isSaved: z.literal(true).exactOptional(),
  /** Minor units of money, of the recipe and of the block. */
  costPer100g: z.number().exactOptional(),
  blockPer100g: z.number().exactOptional(),
});
export type MixedBlock = z.output<typeof mixed>;

const bought = z.object({
  clay: z.string(),
  shown: labAnswer,
  why: z.object({
    kind: z.enum(['always', 'too-far', 'more-clays', 'effect', 'used', 'no-other']),
    /** A few words, for beside the block and its closest mix. */
    short: z.string(),
    sentence: z.string(),
  }),
  /** Colour of the closest mix of the other blocks; D50 and 2 degrees. */
  closest: labAnswer.exactOptional(),
  /** Blocks that could be bought in its place. */
  instead: z.array(z.string()),
});
export type BoughtBlock = z.output<typeof bought>;

const point = z.object({
  /** The largest difference of a mixed block; these piles hold from this tolerance on. */
  from: z.number(),
  buy: z.array(z.string()),
  mix: z.array(
    z.object({ clay: z.string(), recipe: recipeAnswer, lab: labAnswer, dE00: z.number() }),
  ),
  proven: z.boolean(),
});
export type PilesPoint = z.output<typeof point>;

export const buyOrMixAnswer = z.object({
  tolerance: z.number(),
  buy: z.array(bought),
  mix: z.array(mixed),
  /** Blocks that you do not buy and that the others do not give. */
  neither: z.array(z.object({ clay: z.string(), sentence: z.string() })),
  /** What the piles are best at: the cheapest where that was asked for and prices allow it. */
  goal: z.enum(GOALS),
  /** Whether no smaller or cheaper set of blocks exists. */
  proven: z.boolean(),
  /** Minor units of money in a season, where every price is known and grams were named. */
  saves: z.number().exactOptional(),
  frontier: z.array(point),
  /** What is not known, and what was done instead. */
  notes: z.array(z.string()),
});
export type BuyOrMixAnswer = z.output<typeof buyOrMixAnswer>;
