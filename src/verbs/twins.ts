import { z } from 'zod';
import { sharesOfParts } from '../core/clay/mixture.ts';
import { closestOfOtherLines } from '../core/colour/closest-of-others.ts';
import { deltaE2000 } from '../core/colour/difference.ts';
import { clayName, type KnownClays, recipeOf } from '../core/find/known-clays.ts';
import { smallestPinch } from '../core/find/pinch.ts';
import { type MixPrediction, predictViewed } from '../core/find/predicted-mix.ts';
import { rulesOfCall, stockByClay } from '../core/find/rules-of-call.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import type { WholeParts } from '../core/mixes/whole-parts.ts';
import { clayKey } from '../core/notation/notation.ts';
import { chanceWithin } from '../core/verdict/chance.ts';
import { verdictLimit } from '../core/verdict/verdict.ts';
import { labAnswer, recipeAnswer } from './answer-parts.ts';
import { findQuestion, findRules } from './find-question.ts';
import { basis, viewing } from './question-parts.ts';
import { verb } from './verb.ts';

export const twinsQuestion = z.strictObject({
  rules: findRules.pick({ only: true, lines: true, effects: true }).readonly().exactOptional(),
  tolerance: findQuestion.shape.tolerance,
  stock: findQuestion.shape.stock,
  basis,
  viewing,
});
export type TwinsQuestion = z.output<typeof twinsQuestion>;

const seen = {
  recipe: recipeAnswer,
  lab: labAnswer,
  covariance: z.array(z.number()).length(9),
  /** To the clay, both as predicted. */
  dE00: z.number(),
  /** Chance that it comes within the tolerance. */
  chance: z.number(),
  /** D50 and 2 degrees, for showing it. */
  shown: labAnswer,
};
const twin = z.object({
  clay: z.string(),
  lab: labAnswer,
  shown: labAnswer,
  /** The closest clay of another line, alone. */
  twin: z.object(seen),
  /** The twin with the smallest pinch of one other clay; null where it needs none, or none helps. */
  pinch: z.object(seen).nullable(),
});
export type Twin = z.output<typeof twin>;

const twinsAnswer = z.object({ twins: z.array(twin) });
export type TwinsAnswer = z.output<typeof twinsAnswer>;

/** Closer than this no eye tells them apart, and nothing needs adding. */
const SAME = verdictLimit('same');

/**
 * For each clay its closest clay of another line, and the smallest pinch that turns that one into it.
 * Refuses: an unknown clay or line
 * Returns: no clay of a line that is the only one; stopped, the clays so far
 */
export const twins = verb({
  name: 'twins',
  asks: 'Which clay of another line is closest to mine?',
  question: twinsQuestion,
  answer: twinsAnswer,
  endsEarly: true,
  *run(
    clays: KnownClays,
    question: TwinsQuestion,
    hear: (soFar: TwinsAnswer) => void = () => {},
  ): WorkSteps<TwinsAnswer> {
    const { rules = {}, stock = [], tolerance, viewing } = question;
    const frame = { stock, basis: clays.basis, mostClays: 2, parts: 33 };
    const { allowed: asked } = rulesOfCall(clays, rules, frame);
    const { effects } = rules;
    const flat = effects === undefined ? {} : { effects };
    const { allowed: all } = rulesOfCall(clays, flat, frame);
    const rows = stockByClay(clays, stock);
    const predicted = new Map<string, MixPrediction>();
    const see = (parts: WholeParts) => {
      const key = parts.map(({ clay, parts: n }) => `${clay}:${n}`).join();
      const known =
        predicted.get(key) ?? predictViewed(clays.predictor, sharesOfParts(parts), viewing);
      predicted.set(key, known);
      return known;
    };
    const alone = (clay: number) => [{ clay, parts: 1 }];
    const coloured = all.map((clay) => {
      const line = rows.get(clay)?.line;
      return {
        id: String(clay),
        lab: see(alone(clay)).lab,
        group: line === undefined ? '' : clayKey(line),
      };
    });
    const closest = closestOfOtherLines(coloured);
    const found: Twin[] = [];
    for (const clay of asked) {
      const other = closest.get(String(clay))?.other;
      if (other === undefined) continue;
      const own = see(alone(clay));
      const at = Number(other.id);
      const seenAs = (parts: WholeParts) => {
        const { lab, covariance, shown } = see(parts);
        return {
          recipe: recipeOf(clays, parts),
          lab,
          covariance: [...covariance],
          dE00: deltaE2000(own.lab, lab),
          chance: chanceWithin(own.lab, lab, covariance, tolerance),
          shown,
        };
      };
      found.push(
        yield* once('comparing clays', () => {
          const closestTwin = seenAs(alone(at));
          const others = all.filter((one) => one !== clay);
          const pinch =
            closestTwin.dE00 <= SAME
              ? undefined
              : smallestPinch(at, others, (parts) => see(parts).lab, own.lab, tolerance);
          return {
            clay: clayName(clays, clay),
            lab: own.lab,
            shown: own.shown,
            twin: closestTwin,
            pinch: pinch === undefined ? null : seenAs(pinch.parts),
          };
        }),
      );
      hear({ twins: [...found] });
    }
    return { twins: found };
  },
});
