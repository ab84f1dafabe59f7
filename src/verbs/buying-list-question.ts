import { z } from 'zod';
import { range } from '../domain/records/pieces.ts';
import { labAnswer, recipeAnswer } from './answer-parts.ts';
import { figureQuestion } from './figure-question.ts';
import { findQuestion } from './find-question.ts';
import { basis, mostClaysTogether, names, wantedFields } from './question-parts.ts';
import { words } from './verb.ts';

const GOALS = ['cheapest', 'fewest'] as const;
/** Of each colour, where the question does not say. */
const USUAL_GRAMS = 30;
export const buyingListQuestion = z.strictObject({
  ...wantedFields,
  /** A figure whose colours are wanted too, in the amounts that its shapes need. */
  plan: figureQuestion
    .pick({ figure: true, shapes: true, colours: true, mixed: true, copies: true, spare: true })
    .exactOptional(),
  grams: range(0.1, 100_000)
    .default(USUAL_GRAMS)
    .meta(
      words({
        option: 'grams',
        value: 'GRAMS',
        help: 'grams of each colour, but for those of a figure',
      }),
    ),
  waste: range(0, 0.9)
    .default(0)
    .meta(
      words({
        option: 'waste',
        value: 'SHARE',
        help: 'share of the clay that is lost, but for a figure, whose shapes say it',
      }),
    ),
  tolerance: findQuestion.shape.tolerance.default(3.5),
  mostClays: mostClaysTogether,
  parts: z
    .int()
    .min(1)
    .max(24)
    .default(8)
    .meta(words({ option: 'parts', value: 'N', help: 'most whole parts in one recipe' })),
  goal: z
    .enum(GOALS)
    .default(GOALS[0])
    .meta(
      words({ option: 'goal', value: 'GOAL', help: 'the cheapest list, or the fewest packages' }),
    ),
  budgetMinor: range(0, 1e9)
    .exactOptional()
    .meta(
      words({
        option: 'budget',
        value: 'MINOR',
        help: 'most that all packages may cost, in hundredths of the money of your prices; then as many colours as can be',
      }),
    ),
  mostLines: z
    .int()
    .min(1)
    .max(100)
    .exactOptional()
    .meta(words({ option: 'most-lines', value: 'N', help: 'buy from at most so many lines' })),
  never: names
    .exactOptional()
    .meta(words({ option: 'never', value: '"A, B"', help: 'blocks that you do not buy' })),
  neverLines: names.exactOptional().meta(
    words({
      option: 'never-lines',
      value: '"A, B"',
      noun: 'line',
      help: 'lines of which you do not buy',
    }),
  ),
  thorough: z
    .boolean()
    .exactOptional()
    .meta(
      words({
        option: 'thorough',
        help: 'where a better list could be clearly cheaper, look for one some minutes longer',
      }),
    ),
  frontier: z
    .boolean()
    .exactOptional()
    .meta(
      words({
        option: 'frontier',
        help: 'also what the list costs for every other closeness, from the same colour to the same family',
      }),
    ),
  stock: findQuestion.shape.stock,
  basis,
});
export type BuyingListQuestion = z.output<typeof buyingListQuestion>;

const colourAnswer = z.object({
  colour: z.string(),
  lab: labAnswer,
  grams: z.number(),
  /** Absent where nothing comes close, or the budget ends before it. */
  recipe: recipeAnswer.exactOptional(),
  mixed: labAnswer.exactOptional(),
  dE00: z.number().exactOptional(),
  /** Why it has no recipe. */
  why: z.string().exactOptional(),
});
export type BoughtColour = z.output<typeof colourAnswer>;

const packageAnswer = z.object({
  clay: z.string(),
  line: z.string().exactOptional(),
  shown: labAnswer,
  packages: z.int(),
  packageG: z.number(),
  costMinor: z.number().exactOptional(),
  onHandG: z.number(),
  usedG: z.number(),
  leftG: z.number(),
  /** Colours that it goes into, with the grams of each. */
  for: z.array(z.object({ colour: z.string(), grams: z.number() })),
});
export type BoughtPackages = z.output<typeof packageAnswer>;

const costPoint = z.object({
  tolerance: z.number(),
  packages: z.int(),
  costMinor: z.number().exactOptional(),
  /** Colours that have a recipe. */
  met: z.int(),
  meanDE00: z.number(),
  worstDE00: z.number(),
});
export type CostPoint = z.output<typeof costPoint>;

export const buyingListAnswer = z.object({
  buy: z.array(packageAnswer),
  /** Blocks at hand that are used and need no package. */
  have: z.array(packageAnswer),
  colours: z.array(colourAnswer),
  packages: z.int(),
  costMinor: z.number().exactOptional(),
  currency: z.string().exactOptional(),
  /** The list is at most this share dearer than the best one of all recipes. */
  gap: z.number(),
  /** Mean and largest difference of the colours that are met, dE00. */
  meanDE00: z.number(),
  worstDE00: z.number(),
  /** Blocks that are not bought, and the colours that nothing gives which each of them would give. */
  helps: z.array(z.object({ clay: z.string(), colours: z.array(z.string()) })),
  /** What the list costs at each closeness, where that was asked for, the closest first. */
  frontier: z.array(costPoint),
  notes: z.array(z.string()),
});
export type BuyingListAnswer = z.output<typeof buyingListAnswer>;
