import { z } from 'zod';
import type { ClayClass } from '../core/clay/clay-class.ts';
import { sharesOfParts } from '../core/clay/mixture.ts';
import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import { colourWeights } from '../core/colour/weights.ts';
import { AppError } from '../core/errors.ts';
import { type KnownClays, recipeOf } from '../core/find/known-clays.ts';
import { predictViewed } from '../core/find/predicted-mix.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { endKindOf } from '../core/ladder/end-kinds.ts';
import { evenSheetCut } from '../core/ladder/even-sheet.ts';
import {
  allRungs,
  EVEN,
  endsIn,
  evenLadder,
  PRE_MIXES,
  type PreMixOfEnds,
  type Rung,
  rungsThrough,
  unevenness,
} from '../core/ladder/ladder.ts';
import { together } from '../core/ladder/together.ts';
import type { WholeParts } from '../core/mixes/whole-parts.ts';
import { clayKey } from '../core/notation/notation.ts';
import { commonDivisor } from '../core/numeric/common-divisor.ts';
import { closestParts, startSearch } from '../core/search/search.ts';
import { range } from '../domain/records/pieces.ts';
import { labAnswer, recipeAnswer } from './answer-parts.ts';
import { checkBasis, partsByIndex } from './open-clay.ts';
import { askedRecipe, basis, type RecipeAsked, recipeAsked, viewing } from './question-parts.ts';
import { verb, words } from './verb.ts';

/** Pieces that are tried where those allowed give no even ladder. */
const MORE_PARTS = [16, 24, 36, 48, 64];
/** More than these in one step are worse to count than a pre-mix is to make. */
const BEFORE_A_PRE_MIX = 24;

const end = (option: string, help: string) =>
  recipeAsked.meta(words({ option, value: 'RECIPE', example: '1 Kelp', help }));

export const ladderQuestion = z.strictObject({
  from: end('from', 'the first mix, or a clay'),
  to: end(
    'to',
    'the last mix or clay; also white, black or translucent for such a clay of yours, or grey for a grey as light as the first',
  ),
  steps: z
    .int()
    .min(2)
    .max(25)
    .default(5)
    .meta(words({ option: 'steps', value: 'N', help: 'steps in all, both ends among them' })),
  parts: z
    .int()
    .min(1)
    .max(100)
    .default(12)
    .meta(words({ option: 'parts', value: 'N', help: 'most pieces of the two mixes in one step' })),
  preMix: z
    .boolean()
    .exactOptional()
    .meta(
      words({
        option: 'pre-mix',
        help: 'make the strong colour weaker in a pre-mix first, where the steps are not even without',
      }),
    ),
  ratios: z
    .array(z.string().regex(/^\s*\d{1,3}\s*:\s*\d{1,3}\s*$/, { error: 'a ratio such as 3:1' }))
    .min(1)
    .max(24)
    .readonly()
    .exactOptional()
    .meta(
      words({
        option: 'ratios',
        value: '"3:1, 1:1"',
        help: 'in place of even steps: the first mix alone, and these pieces of the first to pieces of the last',
      }),
    ),
  slabMm: range(20, 1000)
    .default(150)
    .meta(
      words({
        option: 'slab',
        value: 'MM',
        help: 'side of a square slab of both, to fold and roll to a sheet that fades evenly',
      }),
    ),
  basis,
  viewing,
});
export type LadderQuestion = z.output<typeof ladderQuestion>;

const pieces = z.tuple([z.int(), z.int()]).readonly();

const step = z.object({
  /** Pieces of the first mix and of the last. */
  pieces,
  /** Pieces of the pre-mix with them. */
  ofPreMix: z.int(),
  /** The same as whole parts of clays. */
  parts: recipeAnswer,
  lab: labAnswer,
  covariance: z.array(z.number()).length(9),
  plusMinus: z.number(),
  /** D50 and 2 degrees, for showing it. */
  shown: labAnswer,
});
export type LadderStep = z.output<typeof step>;

const ladderAnswer = z.object({
  steps: z.array(step),
  /** The first mix and the last by themselves; D50 and 2 degrees. */
  ends: z.tuple([labAnswer, labAnswer]).readonly(),
  /** The largest step over the mean one, dE00; 1 is even. */
  unevenness: z.number(),
  /** The same where the pieces change by equal amounts from step to step. */
  equalParts: z.number().exactOptional(),
  /** The colours of those steps; D50 and 2 degrees. Both are absent for ratios that were asked for. */
  equalShown: z.array(labAnswer).exactOptional(),
  /** Pieces that an even ladder takes, where those allowed are too few. */
  evenWith: z.int().exactOptional(),
  /**
   * The pre-mix of the steps: pieces of the first mix and of the last, the same as whole parts of clays, and its
   * colour; D50 and 2 degrees.
   */
  preMix: z.object({ pieces, parts: recipeAnswer, shown: labAnswer }).exactOptional(),
  /** Pieces of both in a pre-mix that makes the steps even, where they are not. */
  evenThrough: pieces.exactOptional(),
  /** For a sheet that fades evenly: where to cut a square slab of both mixes. */
  sheet: z.object({
    sideMm: z.number(),
    /** Points of the cut: how far across, and how far the first mix reaches along the slab there. */
    cut: z.array(z.object({ acrossMm: z.number(), firstMm: z.number() }).readonly()).readonly(),
    /** The most by which the sheet is off an even one, dE00. */
    off: z.number(),
  }),
});
export type LadderAnswer = z.output<typeof ladderAnswer>;

/**
 * Steps from one mix to another, in whole pieces, even to the eye, or in the ratios asked for.
 * Refuses: an unknown clay; more steps than whole pieces give -> ladder-too-long; 0:0 -> ratio-of-nothing
 */
export const ladder = verb({
  name: 'ladder',
  asks: 'Which even steps lead from one colour to another?',
  question: ladderQuestion,
  answer: ladderAnswer,
  *run(clays: KnownClays, question: LadderQuestion): WorkSteps<LadderAnswer> {
    const { viewing, steps, parts, slabMm } = question;
    checkBasis(clays, question.basis, 2);
    const from = partsByIndex(clays, askedRecipe(question.from));
    const to = yield* endOf(clays, question.to, from);
    const asked = question.ratios === undefined ? undefined : rungsAsked(question.ratios);
    const rungs = asked ?? allRungs(parts);
    if (asked === undefined && rungs.length < steps) throw tooLong(steps, parts, rungs.length);
    return yield* once('choosing steps', () => {
      const even = (rungs: readonly Rung[], preMix?: PreMixOfEnds) => {
        const seen = rungs.map((rung) => ({ ...rung, lab: viewOf(rung, preMix).lab }));
        const chosen = asked === undefined ? evenLadder(seen, steps) : seen;
        return { chosen, preMix, uneven: unevenness(chosen.map(({ lab }) => lab)) };
      };
      const plain = even(rungs);
      const isUneven = asked === undefined && plain.uneven > EVEN;
      const through = isUneven
        ? leastUneven(PRE_MIXES.map((preMix) => () => even(rungsThrough(preMix, parts), preMix)))
        : undefined;
      const isEvenThrough = through !== undefined && through.uneven <= EVEN;
      const { chosen, preMix, uneven } =
        question.preMix === true && through !== undefined && through.uneven < plain.uneven
          ? through
          : plain;
      const equal = Array.from({ length: steps }, (_, i) => viewOf({ from: steps - 1 - i, to: i }));
      const more =
        asked !== undefined || uneven <= EVEN
          ? undefined
          : MORE_PARTS.filter((count) => !isEvenThrough || count <= BEFORE_A_PRE_MIX).find(
              (count) => count > parts && even(allRungs(count)).uneven <= EVEN,
            );
      return {
        steps: chosen.map((rung): LadderStep => {
          const mix = together(from, to, endsIn(rung, preMix));
          const { lab, covariance, plusMinus, shown } = predictViewed(
            clays.predictor,
            sharesOfParts(mix),
            viewing,
          );
          return {
            pieces: [rung.from, rung.to],
            ofPreMix: rung.ofPreMix ?? 0,
            parts: recipeOf(clays, mix),
            lab,
            covariance: [...covariance],
            plusMinus,
            shown,
          };
        }),
        ends: [viewOf({ from: 1, to: 0 }).shown, viewOf({ from: 0, to: 1 }).shown],
        unevenness: uneven,
        ...(asked === undefined
          ? {
              equalParts: unevenness(equal.map(({ lab }) => lab)),
              equalShown: equal.map(({ shown }) => shown),
            }
          : {}),
        ...(more === undefined ? {} : { evenWith: more }),
        ...(preMix === undefined
          ? {}
          : {
              preMix: {
                pieces: preMix,
                parts: recipeOf(clays, together(from, to, preMix)),
                shown: viewOf({ from: 0, to: 0, ofPreMix: 1 }, preMix).shown,
              },
            }),
        ...(preMix !== undefined || through?.preMix === undefined || !isEvenThrough
          ? {}
          : { evenThrough: through.preMix }),
        sheet: {
          sideMm: slabMm,
          ...evenSheetCut((share) => viewOf({ from: 1 - share, to: share }).lab, slabMm),
        },
      };
    });

    function viewOf(rung: Rung, preMix?: PreMixOfEnds) {
      return predictViewed(
        clays.predictor,
        sharesOfParts(together(from, to, endsIn(rung, preMix))),
        viewing,
      );
    }
  },
});

/** The first that is even, otherwise the most even one; none is looked at that is not needed. */
function leastUneven<T extends { readonly uneven: number }>(ways: readonly (() => T)[]) {
  let best: T | undefined;
  for (const way of ways) {
    const one = way();
    if (best === undefined || one.uneven < best.uneven) best = one;
    if (one.uneven <= EVEN) break;
  }
  return best;
}

/** The first mix alone, then the ratios asked for, by share of the last. Refuses: a ratio of nothing */
function rungsAsked(ratios: readonly string[]): Rung[] {
  const rungs = ratios.map((ratio): Rung => {
    const [from = 0, to = 0] = ratio.split(':').map(Number);
    if (from + to === 0) {
      throw new AppError({
        code: 'ratio-of-nothing',
        kind: 'bad-input',
        detail: `The ratio ${ratio.trim()} has no piece of either mix.`,
        hint: 'Give the pieces of the first mix and of the last, such as 3:1.',
      });
    }
    const factor = commonDivisor(from, to);
    return { from: from / factor, to: to / factor };
  });
  const share = ({ from, to }: Rung) => to / (from + to);
  return [{ from: 1, to: 0 }, ...rungs.filter(({ to }) => to > 0)]
    .sort((one, other) => share(one) - share(other))
    .filter((rung, i, all) => all.findIndex((one) => share(one) === share(rung)) === i);
}

/** Whether an end is named by its kind alone. */
export function isKindOfEnd(asked: RecipeAsked): boolean {
  return typeof asked === 'string' && endKindOf(asked) !== undefined;
}

/** The last mix; a clay of that name comes before the kind of clay. */
function* endOf(clays: KnownClays, asked: RecipeAsked, from: WholeParts): WorkSteps<WholeParts> {
  const kind = typeof asked === 'string' ? endKindOf(asked) : undefined;
  if (typeof asked !== 'string' || kind === undefined || clays.indexOf.has(clayKey(asked))) {
    return partsByIndex(clays, askedRecipe(asked));
  }
  return kind === 'grey' ? yield* greyLike(clays, from) : [{ clay: ofKind(clays, kind), parts: 1 }];
}

/** The clay of a kind that most tiles tell of. Refuses: none -> no-such-clay */
function ofKind({ predictor, usable }: KnownClays, kind: ClayClass): number {
  const { clays } = predictor.model;
  const [best] = clays
    .map((clay, i) => ({ i, ...clay }))
    .filter(({ clayClass, i }) => clayClass === kind && (usable?.includes(i) ?? true))
    .sort((a, b) => b.tiles - a.tiles);
  if (best !== undefined) return best.i;
  throw new AppError({
    code: 'no-such-clay',
    kind: 'bad-input',
    detail: `None of these clays is ${kind}.`,
    hint: 'Name the clay or mix that the steps should lead to.',
  });
}

/** The grey of white and black that is as light as a mix. */
function* greyLike(clays: KnownClays, from: WholeParts): WorkSteps<WholeParts> {
  const weights = colourWeights('D50', 2);
  const { lab } = predictViewed(clays.predictor, sharesOfParts(from), HOUSE_VIEWING);
  const run = startSearch(clays.predictor, {
    aim: [lab[0], 0, 0],
    weights,
    clays: [ofKind(clays, 'white'), ofKind(clays, 'black')],
    mostClays: 2,
    parts: 24,
    top: 1,
  });
  yield { what: 'looking for the grey', run };
  return closestParts(run);
}

function tooLong(steps: number, parts: number, most: number): AppError {
  return new AppError({
    code: 'ladder-too-long',
    kind: 'bad-input',
    detail: `${parts} pieces give ${most} different steps, and ${steps} were asked for.`,
    hint: 'Allow more pieces in one step with --parts, or ask for fewer steps.',
  });
}
