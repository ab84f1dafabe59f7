import { z } from 'zod';
import { labUnder, type Viewing } from '../core/colour/adaptation.ts';
import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import { colourWeights } from '../core/colour/weights.ts';
import { AppError } from '../core/errors.ts';
import { clayName, type KnownClays, recipeOf } from '../core/find/known-clays.ts';
import type { WorkSteps } from '../core/find/work-steps.ts';
import { inARow } from '../core/in-a-row.ts';
import type { LumpReading } from '../core/mend/lump.ts';
import {
  asGoodAsNew,
  type Mended,
  type MendResult as Mending,
  mending,
} from '../core/mend/mend.ts';
import type { Outlook } from '../core/mend/outlook.ts';
import type { WholeParts } from '../core/mixes/whole-parts.ts';
import { formatRecipe, type Recipe } from '../core/notation/notation.ts';
import { closestParts, startSearch } from '../core/search/search.ts';
import { plusMinusOf } from '../core/verdict/verdict.ts';
import { range } from '../domain/records/pieces.ts';
import { readAim } from './aim.ts';
import { aimAnswer, labAnswer, recipeAnswer } from './answer-parts.ts';
import { bakedLooks, looksAsked } from './looks.ts';
import { checkBasis, clayIndices, partsByIndex } from './open-clay.ts';
import { aimSchema, askedRecipe, basis, only, recipeAsked, viewing } from './question-parts.ts';
import { verb, words } from './verb.ts';

/** Pieces of one clay, cut by hand and put together in a hurry: common practice, no source. */
const PARTS_SPREAD = 0.05;
/** The same where nothing is known of the lump but its colour. */
const UNKNOWN_SPREAD = 0.2;

const looksFields = looksAsked(
  'the colour of the lump, written as for find; without it the clay model alone says it',
);

export const mendQuestion = z.strictObject({
  lump: recipeAsked.exactOptional().meta(
    words({
      option: 'lump',
      value: 'RECIPE',
      example: '5 Kelp + 3 Foam',
      help: 'the pieces in the lump; left out where they are forgotten, and then its colour is needed',
    }),
  ),
  amount: range(0.25, 10_000)
    .exactOptional()
    .meta(
      words({
        option: 'amount',
        value: 'N',
        help: 'how many pieces large the lump is now; the sum of its pieces when left out',
      }),
    ),
  ...looksFields,
  looks: looksFields.looks.exactOptional(),
  aim: aimSchema.meta(
    words({
      option: 'aim',
      value: 'COLOUR',
      example: '#8a9b6c',
      help: 'the colour you want, written as for find',
    }),
  ),
  mostClays: z
    .int()
    .min(1)
    .max(3)
    .default(3)
    .meta(words({ option: 'clays', value: 'N', help: 'most different clays to add' })),
  only,
  basis,
  viewing,
});
export type MendQuestion = z.output<typeof mendQuestion>;

/** A colour as it is expected, and how sure that is. */
const expectedColour = {
  /** Under the viewing asked for. */
  lab: labAnswer,
  /** 3 x 3 by rows, CIELAB units squared. */
  covariance: z.array(z.number()).length(9),
  plusMinus: z.number(),
  /** Mean dE00 from the aim that is to be expected. */
  expected: z.number(),
  /** Chance of a match (1.8). */
  chance: z.number(),
  /** D50 and 2 degrees, for showing it. */
  shown: labAnswer,
};

const addition = z.object({
  /** Pieces to add. */
  add: recipeAnswer,
  /** Pieces of the whole after that: those of `doubt`, else those said, and the ones added. */
  recipe: recipeAnswer,
  ...expectedColour,
  /** How many times as large the lump becomes. */
  growth: z.number(),
  /** Chance that it comes closer than the lump is now. */
  better: z.number(),
});
export type Addition = z.output<typeof addition>;

const mendAnswer = z.object({
  aim: aimAnswer,
  lump: z.object({ recipe: recipeAnswer, ...expectedColour }),
  /** How a raw colour was taken. */
  note: z.string().exactOptional(),
  /** Smallest first; each is expected closer than all smaller ones. */
  additions: z.array(addition),
  /** Place in `additions`; none where there are none. */
  recommended: z.int().exactOptional(),
  /** Why the lump is better left as it is. */
  leave: z.object({ why: z.string() }).exactOptional(),
  /** What comes closer than any addition of half the lump. */
  afresh: z.object({ recipe: recipeAnswer, ...expectedColour, why: z.string() }).exactOptional(),
  /** What explains the colour of the lump better than the pieces said. */
  doubt: z
    .object({ recipe: recipeAnswer, chance: z.number(), sentence: z.string() })
    .exactOptional(),
});
export type MendAnswer = z.output<typeof mendAnswer>;

/**
 * The smallest addition that brings a lump to the colour wanted, nothing taken out.
 * Refuses: no recipe and no colour of the lump -> lump-unknown; an unknown clay; the other basis
 * Holds:   the same question gives the same answer; parts of `recipe` are those added plus those
 *          of `doubt`, or those said where nothing is in doubt
 */
export const mend = verb({
  name: 'mend',
  asks: 'What do I add to this lump?',
  question: mendQuestion,
  answer: mendAnswer,
  *run(clays: KnownClays, question: MendQuestion): WorkSteps<MendAnswer> {
    const { viewing } = question;
    checkBasis(clays, question.basis, 2);
    const aim = readAim(question.aim, viewing, clays);
    const { looks } = question;
    const seen = looks === undefined ? undefined : bakedLooks(clays, { ...question, looks });
    const weights = colourWeights(viewing.light, viewing.observer);
    const usable = clayIndices(clays, question.only);
    const reading: LumpReading | undefined =
      seen === undefined ? undefined : { lab: seen.lab, variance: seen.spread ** 2 };
    const written = question.lump === undefined ? undefined : askedRecipe(question.lump);
    const said =
      written === undefined
        ? yield* guessed(clays, usable, weights, reading)
        : partsByIndex(clays, written);
    const sum = said.reduce((all, { parts }) => all + parts, 0);
    const scale = (question.amount ?? sum) / sum;
    const answer = yield* mending(clays.predictor, {
      said,
      scale,
      ...(reading === undefined ? {} : { reading }),
      aim: aim.lab,
      clays: usable,
      mostClays: question.mostClays,
      afreshClays: 4,
      afreshParts: 12,
      weights,
      geometry: clays.predictor.model.geometry,
      partsSpread: written === undefined ? UNKNOWN_SPREAD : PARTS_SPREAD,
    });
    return {
      ...shown(clays, answer, { said, scale, viewing, aim }),
      ...(seen?.note === undefined ? {} : { note: seen.note }),
    };
  },
});

/** Of a lump nobody knows the pieces of: the mix of the user's clays that looks most like it. */
function* guessed(
  clays: KnownClays,
  usable: readonly number[],
  weights: ReturnType<typeof colourWeights>,
  reading: LumpReading | undefined,
): WorkSteps<WholeParts> {
  if (reading === undefined) {
    throw new AppError({
      code: 'lump-unknown',
      kind: 'bad-input',
      detail: 'Neither the pieces in the lump nor its colour are given.',
      hint: 'Give the pieces with --lump, or bake a chip of the lump and give its colour with --looks.',
    });
  }
  const run = startSearch(clays.predictor, {
    aim: reading.lab,
    weights,
    clays: usable,
    mostClays: Math.min(3, usable.length),
    parts: 12,
    top: 1,
  });
  yield { what: 'guessing what is in the lump', run };
  return closestParts(run);
}

interface Asked {
  readonly said: WholeParts;
  readonly scale: number;
  readonly viewing: Viewing;
  readonly aim: MendAnswer['aim'];
}

function shown(
  clays: KnownClays,
  answer: Mending,
  { said, scale, viewing, aim }: Asked,
): MendAnswer {
  const { now, additions, recommended, leave, afresh, startAfresh, named } = answer;
  const seen = ({ lab, covariance, expected, chance }: Outlook) => ({
    lab,
    covariance: [...covariance],
    plusMinus: plusMinusOf(lab, covariance),
    expected,
    chance,
    shown: labUnder(lab, viewing, HOUSE_VIEWING),
  });
  const chosen = additions[recommended];
  const recipe = (parts: WholeParts) => recipeOf(clays, parts);
  return {
    aim,
    lump: {
      recipe: recipe(said.map(({ clay, parts }) => ({ clay, parts: parts * scale }))),
      ...seen(now),
    },
    additions: additions.map((one) => ({
      add: recipe(one.add),
      recipe: recipe(one.whole),
      ...seen(one),
      growth: one.growth,
      better: one.better,
    })),
    ...(chosen === undefined ? {} : { recommended }),
    ...(leave ? { leave: { why: whyLeave(now, chosen) } } : {}),
    ...(startAfresh && afresh !== undefined
      ? {
          afresh: {
            recipe: recipe(afresh.recipe),
            ...seen(afresh),
            why: whyAfresh(afresh, additions),
          },
        }
      : {}),
    ...(named === undefined
      ? {}
      : {
          doubt: {
            recipe: recipe(named.lump),
            chance: named.chance,
            sentence: exchangedInWords(
              named.clays.map((clay) => clayName(clays, clay)),
              recipe(named.lump),
            ),
          },
        }),
  };
}

function whyLeave(now: Outlook, chosen: Mended | undefined): string {
  const off = `The lump is about ${now.expected.toFixed(1)} off`;
  if (chosen === undefined) return `${off}, and no addition brings it closer.`;
  const worse = Math.round(10 * (1 - chosen.better));
  const risk = worse > 0 ? `, and in ${worse} of 10 cases it would be worse than now` : '';
  return `${off}. With the best addition it would be about ${chosen.expected.toFixed(1)} off${risk}.`;
}

function whyAfresh(afresh: Outlook, additions: readonly Mended[]): string {
  const enough = additions.find(({ expected }) => expected <= asGoodAsNew(afresh));
  const growth =
    enough === undefined
      ? 'No addition brings this lump close enough'
      : `The lump would have to become ${enough.growth.toFixed(1)} times as large`;
  return `${growth}. New clay comes within about ${afresh.expected.toFixed(1)}.`;
}

function exchangedInWords(clays: readonly string[], lump: Recipe): string {
  return `The lump looks as if the counts of ${inARow(clays)} were exchanged: ${formatRecipe(lump)}. What to add and the new recipe are worked out from that.`;
}
