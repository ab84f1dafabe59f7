import { z } from 'zod';
import { betweenMixes } from '../core/clay/between-mixes.ts';
import { sharesOfParts } from '../core/clay/mixture.ts';
import { PARTS_SPREAD } from '../core/clay/parts-spread.ts';
import { labUnder } from '../core/colour/adaptation.ts';
import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import { colourWeights } from '../core/colour/weights.ts';
import { AppError } from '../core/errors.ts';
import { finding, type FindResult as PlainAnswer } from '../core/find/find-answer.ts';
import { FIND_DEFAULTS } from '../core/find/find-limits.ts';
import type { FindTask as PlainQuestion } from '../core/find/find-plan.ts';
import { clayAgainst } from '../core/find/hint-by-eye.ts';
import { clayName, type KnownClays, withStockClays } from '../core/find/known-clays.ts';
import { predictViewed } from '../core/find/predicted-mix.ts';
import { rulesOfCall } from '../core/find/rules-of-call.ts';
import type { WorkSteps } from '../core/find/work-steps.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import type { WholeParts } from '../core/mixes/whole-parts.ts';
import { parseRecipe } from '../core/notation/notation.ts';
import { chanceWithin } from '../core/verdict/chance.ts';
import { missOf, plusMinusOf, verdict } from '../core/verdict/verdict.ts';
import { labAnswer, recipeAnswer, verdictAnswer } from './answer-parts.ts';
import { findQuestion, findRules } from './find-question.ts';
import { checkBasis, partsByIndex } from './open-clay.ts';
import { basis, mixesAsked, type OneMixAsked, paletteAsked, viewing } from './question-parts.ts';
import { verb } from './verb.ts';

export const translateQuestion = z.strictObject({
  wanted: mixesAsked('the recipe to translate; with --book all mixes of the book when left out'),
  palette: paletteAsked,
  tolerance: findQuestion.shape.tolerance,
  mostClays: findQuestion.shape.mostClays,
  parts: findQuestion.shape.parts,
  rules: findRules
    .pick({
      only: true,
      without: true,
      lines: true,
      atLeast: true,
      atMost: true,
      effects: true,
    })
    .readonly()
    .exactOptional(),
  stock: findQuestion.shape.stock,
  basis,
  viewing,
});
export type TranslateQuestion = z.output<typeof translateQuestion>;

const translated = z.object({
  /** As it was written. */
  of: z.string(),
  /** Why there is no recipe. */
  why: z.string().exactOptional(),
  found: z
    .object({
      /** The colour of the recipe to translate, as predicted. */
      wanted: labAnswer,
      recipe: recipeAnswer,
      lab: labAnswer,
      /** Between the two predicted colours. */
      dE00: z.number(),
      plusMinus: z.number(),
      /** Chance that the two come within the tolerance of each other. */
      chance: z.number(),
      /** What is lost, in words. */
      verdict: verdictAnswer,
      /** A crumb of `add` helps where the mix looks like `looks`, as it most probably does if it misses. */
      hint: z.object({ looks: z.string(), add: z.string() }).exactOptional(),
      /** D50 and 2 degrees, for showing them. */
      shown: labAnswer,
      wantedShown: labAnswer,
    })
    .exactOptional(),
});
export type Translated = z.output<typeof translated>;

const translateAnswer = z.object({ translated: z.array(translated) });
export type TranslateAnswer = z.output<typeof translateAnswer>;

/**
 * Each recipe for other clays: the best recipe of those allowed, as `find` gives it for the predicted colour.
 * Refuses: rules that contradict or name what is not there
 * Returns: for a mix that cannot be predicted or has no recipe within the rules, why
 */
export const translate = verb({
  name: 'translate',
  asks: 'How do I mix the same with other clays?',
  question: translateQuestion,
  answer: translateAnswer,
  endsEarly: true,
  *run(
    clays: KnownClays,
    question: TranslateQuestion,
    hear: (soFar: TranslateAnswer) => void = () => {},
  ): WorkSteps<TranslateAnswer> {
    const done: Translated[] = [];
    if (question.wanted === undefined) throw nothingNamed();
    for (const mix of question.wanted) {
      done.push(yield* translateOne(clays, mix, question));
      hear({ translated: [...done] });
    }
    return { translated: done };
  },
});

function* translateOne(
  clays: KnownClays,
  mix: OneMixAsked,
  question: TranslateQuestion,
): WorkSteps<Translated> {
  const of = mix.words.trim();
  const { viewing, tolerance, mostClays, parts, rules, stock } = question;
  const wanted = wantedColour(clays, mix, question);
  if ('why' in wanted) return { of, why: wanted.why };
  const { recipes, proven } = yield* bestOf(clays, {
    aim: wanted.lab,
    viewing,
    tolerance,
    mostClays,
    parts,
    top: FIND_DEFAULTS.top,
    ...(rules === undefined ? {} : { rules }),
    ...(stock === undefined ? {} : { stock }),
    ...(question.basis === undefined ? {} : { basis: question.basis }),
  });
  const [best] = recipes;
  if (best === undefined) {
    return {
      of,
      why: proven ? 'No recipe keeps to the rules.' : 'The search was stopped before it found one.',
    };
  }
  const { parts: recipe, lab, dE00, shown } = best;
  const { covariance, ...sure } =
    wanted.parts === undefined
      ? {
          plusMinus: best.plusMinus,
          chance: best.chance,
          verdict: best.verdict,
          covariance: best.covariance,
        }
      : howSure(clays, wanted.parts, best, question);
  const hint = hintFor(clays, missOf(wanted.lab, lab, covariance)?.side.word, best, question);
  return {
    of,
    found: {
      wanted: wanted.lab,
      recipe,
      lab,
      dE00,
      ...sure,
      ...(hint === undefined ? {} : { hint }),
      shown,
      wantedShown: wanted.shown,
    },
  };
}

/** Where both colours are predicted, what is not sure of the first counts too. */
function howSure(
  clays: KnownClays,
  before: WholeParts,
  { parts, lab }: PlainAnswer['recipes'][number],
  { viewing, stock, tolerance }: TranslateQuestion,
) {
  const known = withStockClays(clays, stock ?? []);
  const apart = betweenMixes(
    known.predictor,
    sharesOfParts(before),
    sharesOfParts(partsByIndex(known, parts)),
    false,
    { weights: colourWeights(viewing.light, viewing.observer), partsSpread: PARTS_SPREAD.ofMix },
  );
  const { covariance } = apart;
  return {
    plusMinus: plusMinusOf(lab, covariance),
    chance: chanceWithin(apart.before, lab, covariance, tolerance),
    verdict: verdict(apart.before, lab, covariance),
    covariance,
  };
}

/** What to knead in where the eye sees the miss that is most probable. */
function hintFor(
  clays: KnownClays,
  looks: string | undefined,
  { parts }: PlainAnswer['recipes'][number],
  { viewing, rules, stock, mostClays, parts: most }: TranslateQuestion,
): NonNullable<Translated['found']>['hint'] {
  if (looks === undefined) return undefined;
  const known = withStockClays(clays, stock ?? []);
  const frame = { stock: stock ?? [], basis: known.basis, mostClays, parts: most };
  const { allowed } = rulesOfCall(known, rules ?? {}, frame);
  const clay = clayAgainst(
    looks,
    partsByIndex(known, parts),
    allowed,
    (mix) => predictViewed(known.predictor, sharesOfParts(mix), viewing).lab,
  );
  return clay === undefined ? undefined : { looks, add: clayName(known, clay) };
}

/** The answer of a search as soon as nothing better can exist; what is missing is not looked for. */
function* bestOf(clays: KnownClays, question: PlainQuestion): WorkSteps<PlainAnswer> {
  let heard: PlainAnswer | undefined;
  const steps = finding(clays, question, (soFar) => {
    heard = soFar;
  });
  let step = steps.next();
  while (step.done !== true) {
    if (heard?.proven === true) return heard;
    step = steps.next(yield step.value);
  }
  return step.value;
}

function nothingNamed(): AppError {
  return new AppError({
    code: 'nothing-to-translate',
    kind: 'bad-input',
    detail: 'No recipe to translate is named.',
    hint: 'Name one with --of "1 Kelp + 3 Foam", a file of them with --from, or the mixes of a book with --book.',
  });
}

/** The colour to find again: as predicted, else the one that comes with a mix of unknown clays. */
function wantedColour(clays: KnownClays, mix: OneMixAsked, question: TranslateQuestion) {
  const { viewing } = question;
  if ('aim' in mix && mix.aim !== undefined) {
    const lab = labUnder(mix.aim, HOUSE_VIEWING, viewing);
    return { lab, shown: mix.aim, parts: undefined };
  }
  const read = mixByIndex(clays, mix, question);
  if ('why' in read) return { why: read.why };
  const { lab, shown } = predictViewed(clays.predictor, sharesOfParts(read.parts), viewing);
  return { lab, shown, parts: read.parts };
}

/** A mix by the indices of its clays, or why it cannot be predicted. */
export function mixByIndex(
  clays: KnownClays,
  mix: OneMixAsked,
  asked: { readonly basis?: Basis },
): { readonly parts: WholeParts } | { readonly why: string } {
  if ('why' in mix) return { why: mix.why };
  try {
    const recipe = 'recipe' in mix ? mix.recipe : parseRecipe(mix.words);
    checkBasis(clays, mix.basis ?? asked.basis, recipe.length, mix.where);
    return { parts: partsByIndex(clays, recipe, mix.where) };
  } catch (fault) {
    if (fault instanceof AppError && fault.kind === 'bad-input') return { why: fault.detail };
    throw fault;
  }
}
