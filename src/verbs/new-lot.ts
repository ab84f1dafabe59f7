import { z } from 'zod';
import { betweenMixes } from '../core/clay/between-mixes.ts';
import { sharesOfParts } from '../core/clay/mixture.ts';
import { withNewLot } from '../core/clay/new-lot.ts';
import { PARTS_SPREAD } from '../core/clay/parts-spread.ts';
import type { Predictor } from '../core/clay/predict.ts';
import { labUnder } from '../core/colour/adaptation.ts';
import { deltaE2000 } from '../core/colour/difference.ts';
import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import type { Lab } from '../core/colour/triples.ts';
import { type ColourWeights, colourWeights } from '../core/colour/weights.ts';
import { AppError } from '../core/errors.ts';
import { clayName, type KnownClays, recipeOf } from '../core/find/known-clays.ts';
import { newCut } from '../core/find/new-cut.ts';
import { rulesOfCall } from '../core/find/rules-of-call.ts';
import type { WorkSteps } from '../core/find/work-steps.ts';
import type { WholeParts } from '../core/mixes/whole-parts.ts';
import { chanceWithin } from '../core/verdict/chance.ts';
import { MATCH, plusMinusOf, verdictLimit } from '../core/verdict/verdict.ts';
import { labAnswer, recipeAnswer } from './answer-parts.ts';
import { findQuestion } from './find-question.ts';
import { bakedLooks, looksAsked } from './looks.ts';
import { partsByIndex } from './open-clay.ts';
import { askedRecipe, basis, mixesAsked, only, recipeAsked, viewing } from './question-parts.ts';
import { mixByIndex } from './translate.ts';
import { verb, words } from './verb.ts';

export const newLotQuestion = z.strictObject({
  clay: recipeAsked.meta(
    words({
      option: 'clay',
      value: 'NAME',
      example: 'Kelp',
      help: 'the clay whose new lot differs',
    }),
  ),
  ...looksAsked('the colour of the new lot, written as for find'),
  wanted: mixesAsked(
    'the recipe to look at; with --book all mixes that hold the clay when left out',
  ),
  parts: findQuestion.shape.parts,
  only,
  stock: findQuestion.shape.stock,
  basis,
  viewing,
});
export type NewLotQuestion = z.output<typeof newLotQuestion>;

const seen = {
  lab: labAnswer,
  /** D50 and 2 degrees, for showing it. */
  shown: labAnswer,
};
const affected = z.object({
  /** As it was written. */
  of: z.string(),
  recipe: recipeAnswer,
  /** With the old lot: the colour to keep. */
  before: z.object(seen),
  /** The same parts with the new lot. */
  after: z.object({
    ...seen,
    /** Between the two, and how far that may be off. */
    dE00: z.number(),
    plusMinus: z.number(),
    /** Chance that it still is a match (1.8). */
    chance: z.number(),
  }),
  /** The same colour with the least change; absent where the recipe may stay, or no cut comes closer. */
  cut: z
    .object({
      recipe: recipeAnswer,
      ...seen,
      dE00: z.number(),
      plusMinus: z.number(),
      chance: z.number(),
      /** Share of the clay that is another than before, 0-1. */
      change: z.number(),
      /** Clay that the recipe did not have. */
      added: z.string().exactOptional(),
    })
    .exactOptional(),
  /** The difference is too small to be seen: cut it as before. */
  stays: z.boolean(),
  /** The tile of the clay alone does not tell how the mix changes: a tile of the mix does. */
  unsure: z.boolean(),
});
export type Affected = z.output<typeof affected>;

const newLotAnswer = z.object({
  clay: z.string(),
  /** The clay alone, as it was and as it is now. */
  before: z.object(seen),
  after: z.object({ ...seen, dE00: z.number(), plusMinus: z.number() }),
  /** How a raw colour was taken. */
  note: z.string().exactOptional(),
  /** Mixes that hold the clay, the one that changes most first. */
  mixes: z.array(affected),
  /** Mixes that cannot be worked out, and why. */
  unread: z.array(z.object({ of: z.string(), why: z.string() })),
});
export type NewLotAnswer = z.output<typeof newLotAnswer>;

/** A mix is cut again where it moves by at least so many times its ±. Judgement, by bench/new-lot.ts. */
const SURE = 1;
/** A smaller difference nobody sees. */
const SAME = verdictLimit('same');

/**
 * What a lot that came out otherwise changes: every mix that holds the clay, worst first, with the least change
 * that gives its colour again.
 * Refuses: an unknown clay, more than one clay; no recipe and no book
 * Holds:   the old lot is predicted as before; a recipe that moves by less than can be seen stays, and one that
 *          moves by less than its ± gets no new cut
 */
export const newLot = verb({
  name: 'new-lot',
  asks: 'Which mixes does this new lot change?',
  question: newLotQuestion,
  answer: newLotAnswer,
  endsEarly: true,
  *run(
    clays: KnownClays,
    question: NewLotQuestion,
    hear: (soFar: NewLotAnswer) => void = () => {},
  ): WorkSteps<NewLotAnswer> {
    const { viewing, stock = [] } = question;
    if (question.wanted === undefined) throw nothingNamed();
    const [first, ...more] = partsByIndex(clays, askedRecipe(question.clay));
    if (first === undefined || more.length > 0) throw oneClay();
    const { clay } = first;
    const looks = bakedLooks(clays, question);
    const weights = colourWeights(viewing.light, viewing.observer);
    const predictor = withNewLot(clays.predictor, clay, {
      lab: looks.lab,
      variance: looks.spread ** 2,
      weights,
    });
    const lot = clays.names.length;
    const named = { ...clays, names: [...clays.names, clayName(clays, clay)] };
    const frame = { stock, basis: clays.basis, mostClays: 1, parts: question.parts };
    const { allowed } = rulesOfCall(
      clays,
      question.only === undefined ? {} : { only: question.only },
      frame,
    );
    const look = looker(predictor, question, weights);
    const alone = look([{ clay, parts: 1 }], [{ clay: lot, parts: 1 }], true);
    const answer: NewLotAnswer = {
      ...(looks.note === undefined ? {} : { note: looks.note }),
      clay: clayName(clays, clay),
      before: alone.before,
      after: alone.after,
      mixes: [],
      unread: [],
    };
    for (const mix of question.wanted) {
      const of = mix.words.trim();
      const read = mixByIndex(clays, mix, question);
      if ('why' in read) {
        answer.unread.push({ of, why: read.why });
        continue;
      }
      if (!read.parts.some((one) => one.clay === clay)) continue;
      const recipe = read.parts.map((one) => (one.clay === clay ? { ...one, clay: lot } : one));
      const { before, after } = look(read.parts, recipe, true);
      const stays = after.dE00 <= SAME;
      const unsure = !stays && after.dE00 < SURE * after.plusMinus;
      const cut =
        stays || unsure
          ? undefined
          : yield* newCut(
              predictor,
              {
                recipe,
                aim: before.lab,
                weights,
                parts: question.parts,
                others: allowed.filter((one) => one !== clay),
              },
              expectedOff(after),
              (parts, isAdded) => expectedOff(look(read.parts, parts, !isAdded).after),
            );
      answer.mixes.push({
        of,
        recipe: recipeOf(clays, read.parts),
        before,
        after,
        stays,
        unsure,
        ...(cut === undefined
          ? {}
          : {
              cut: {
                recipe: recipeOf(named, cut.parts),
                ...look(read.parts, cut.parts, cut.added === undefined).after,
                change: cut.change,
                ...(cut.added === undefined ? {} : { added: clayName(named, cut.added) }),
              },
            }),
      });
      answer.mixes.sort((one, other) => other.after.dE00 - one.after.dE00);
      hear({ ...answer, mixes: [...answer.mixes], unread: [...answer.unread] });
    }
    return answer;
  },
});

/** How far a mix is to be expected from its colour: what is predicted and what is not sure. */
function expectedOff({ dE00, plusMinus }: Affected['after']): number {
  return Math.hypot(dE00, plusMinus);
}

/** Looks at two mixes, the second beside the first. */
function looker(predictor: Predictor, { viewing }: NewLotQuestion, weights: ColourWeights) {
  const shown = (lab: Lab) => labUnder(lab, viewing, HOUSE_VIEWING);
  return (one: WholeParts, other: WholeParts, alike: boolean) => {
    const { before, after, covariance } = betweenMixes(
      predictor,
      sharesOfParts(one),
      sharesOfParts(other),
      alike,
      { weights, partsSpread: other.length > 1 ? PARTS_SPREAD.ofMix : PARTS_SPREAD.ofClay },
    );
    return {
      before: { lab: before, shown: shown(before) },
      after: {
        lab: after,
        shown: shown(after),
        dE00: deltaE2000(before, after),
        plusMinus: plusMinusOf(after, covariance),
        chance: chanceWithin(before, after, covariance, MATCH),
      },
    };
  };
}

function nothingNamed(): AppError {
  return new AppError({
    code: 'no-mix-named',
    kind: 'bad-input',
    detail: 'No recipe is named that may hold the clay.',
    hint: 'Name one with --of "1 Kelp + 3 Foam", a file of them with --from, or the mixes of a book with --book.',
  });
}

function oneClay(): AppError {
  return new AppError({
    code: 'one-clay',
    kind: 'bad-input',
    detail: 'A new lot is of one clay, and a recipe of several was given.',
    hint: 'Name the clay alone, as in --clay Kelp.',
  });
}
