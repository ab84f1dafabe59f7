import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { invalidInput } from '../errors.ts';
import { commonDivisor } from '../numeric/common-divisor.ts';

/** Steps are called even where the largest is at most so many times the mean. */
export const EVEN = 1.3;

/** Pieces of a first and a second mix, and of a pre-mix of both where one is used. */
export interface Rung {
  readonly from: number;
  readonly to: number;
  readonly ofPreMix?: number;
}

/** Pieces of the first and the second mix in a pre-mix of both. */
export type PreMixOfEnds = readonly [number, number];

/**
 * Pre-mixes that make a strong end weaker, the usual ones: 1 piece in 4, 8, 16 or 32. Common practice, without a
 * source.
 */
export const PRE_MIXES: readonly PreMixOfEnds[] = [3, 7, 15, 31].flatMap(
  (weak) =>
    [
      [1, weak],
      [weak, 1],
    ] as const,
);

/**
 * All ways to put pieces of two mixes together, from the first alone to the second alone.
 * Shape:   most pieces in one rung -> rungs without common factors, by share of the second
 */
export function allRungs(pieces: number): Rung[] {
  const rungs: Rung[] = [];
  for (let all = 1; all <= pieces; all++) {
    for (let to = 0; to <= all; to++) {
      if (commonDivisor(all, to) === 1) rungs.push({ from: all - to, to });
    }
  }
  return rungs.sort((a, b) => a.to / (a.from + a.to) - b.to / (b.from + b.to));
}

/**
 * The same, and what pieces of a pre-mix add, each with pieces of the end that the pre-mix is mostly made of.
 * Shape:   most pieces in one rung, those of the pre-mix among them -> rungs by share of the second
 */
export function rungsThrough(preMix: PreMixOfEnds, pieces: number): Rung[] {
  const plain = allRungs(pieces);
  const weakIsTo = preMix[1] > preMix[0];
  const through = plain
    .filter(({ from, to }) => from > 0 && to > 0)
    .map(
      ({ from, to }): Rung =>
        weakIsTo ? { from: 0, to, ofPreMix: from } : { from: to, to: 0, ofPreMix: from },
    );
  const share = (rung: Rung) => {
    const [from, to] = endsIn(rung, preMix);
    return to / (from + to);
  };
  return [...plain, { from: 0, to: 0, ofPreMix: 1 }, ...through].sort(
    (one, other) => share(one) - share(other),
  );
}

/** How much of the first and of the second mix is in a rung, counted in the smallest pieces that are all whole. */
export function endsIn(
  { from, to, ofPreMix = 0 }: Rung,
  preMix: PreMixOfEnds = [1, 0],
): readonly [number, number] {
  if (ofPreMix === 0) return [from, to];
  const [first, second] = preMix;
  const whole = first + second;
  return [from * whole + ofPreMix * first, to * whole + ofPreMix * second];
}

/** How even some colours in a row are: the largest step over the mean one; 1 is even. */
export function unevenness(labs: readonly Lab[]): number {
  const steps = labs.slice(1).map((lab, i) => deltaE2000(labs[i], lab));
  const mean = steps.reduce((sum, v) => sum + v, 0) / steps.length;
  return mean === 0 ? 1 : Math.max(...steps) / mean;
}

/**
 * The rungs between two ends whose steps are as even to the eye as whole pieces allow.
 * Shape:   rungs in order with their colours, both ends among them; `steps` from 2 -> `steps` of them
 * Method:  of all ways to choose them in order, the one whose steps have the least sum of squares of their
 *          differences from an even step, step by step [Bellman1957]
 * Refuses: fewer rungs than steps, fewer than two steps -> invalid-input
 */
export function evenLadder<R extends { readonly lab: Lab }>(
  rungs: readonly R[],
  steps: number,
): R[] {
  if (steps < 2 || rungs.length < steps) {
    throw invalidInput(`A ladder of ${steps} steps needs as many different mixes.`);
  }
  const last = rungs.length - 1;
  const apart = rungs.map((one) => rungs.map((other) => deltaE2000(one.lab, other.lab)));
  // The even step follows from the steps themselves; a few rounds settle both.
  let even = apart[0][last] / (steps - 1);
  let chosen = best(even);
  for (let round = 0; round < 4; round++) {
    const sizes = chosen.slice(1).map((at, i) => apart[chosen[i]][at]);
    even = sizes.reduce((sum, v) => sum + v, 0) / sizes.length;
    chosen = best(even);
  }
  return chosen.map((at) => rungs[at]);

  /** Places of the rungs chosen, for steps of this size. */
  function best(size: number): number[] {
    const cost = Array.from({ length: steps }, () =>
      new Array<number>(rungs.length).fill(Number.POSITIVE_INFINITY),
    );
    const before = Array.from({ length: steps }, () => new Array<number>(rungs.length).fill(0));
    cost[0][0] = 0;
    for (let step = 1; step < steps; step++) {
      for (let at = step; at <= last; at++) {
        for (let from = step - 1; from < at; from++) {
          const sum = cost[step - 1][from] + (apart[from][at] - size) ** 2;
          if (sum < cost[step][at]) {
            cost[step][at] = sum;
            before[step][at] = from;
          }
        }
      }
    }
    const places = [last];
    for (let step = steps - 1; step > 0; step--) places.unshift(before[step][places[0]]);
    return places;
  }
}
