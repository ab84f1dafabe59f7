/**
 * What could be known at best, for `strength.ts`: the exact law of base, gain and softness on a grid, by one
 * who knows the form of the curve, the scatter of bakes and where the grades begin.
 */
import type { BendResultRow } from '../src/core/strength/bend-results.ts';
import type { Load } from '../src/core/strength/strength-belief.ts';
import {
  BASE,
  GAIN,
  type KnownForm,
  logistic,
  SOFTNESS,
  trueChance,
  truthOf,
} from './strength-truths.ts';

const GRID = { base: 31, gain: 7, softness: 4, luck: 13 };
/** Deviations of a bake's luck, with their weights. */
const LUCK = Array.from({ length: GRID.luck }, (_, i) => {
  const z = -3.25 + (6.5 * (i + 0.5)) / GRID.luck;
  return { z, weight: Math.exp((-z * z) / 2) };
});

/** 95 % interval of the chance at each share. */
export function oracleIntervals(
  form: KnownForm,
  rows: readonly BendResultRow[],
  shares: readonly number[],
  load: Load,
): readonly { readonly low: number; readonly high: number }[] {
  const points: { readonly weight: number; readonly chances: readonly number[] }[] = [];
  const middle = (range: readonly [number, number], i: number, of: number) =>
    range[0] + ((i + 0.5) / of) * (range[1] - range[0]);
  for (let b = 0; b < GRID.base; b++) {
    const off = -3.5 + (7 * (b + 0.5)) / GRID.base;
    for (let g = 0; g < GRID.gain; g++) {
      for (let s = 0; s < GRID.softness; s++) {
        const truth = truthOf(
          form,
          BASE[0] + BASE[1] * off,
          middle(GAIN, g, GRID.gain),
          middle(SOFTNESS, s, GRID.softness),
        );
        const weight = Math.exp((-off * off) / 2) * likelihoodOf(truth, rows);
        if (weight > 0) {
          points.push({ weight, chances: shares.map((at) => trueChance(truth, at, load, 24)) });
        }
      }
    }
  }
  const all = points.reduce((sum, { weight }) => sum + weight, 0);
  return shares.map((_, i) => {
    const sorted = points
      .map(({ weight, chances }) => ({ weight, chance: chances[i] }))
      .sort((a, b) => a.chance - b.chance);
    const at = (share: number) => {
      let sum = 0;
      for (const { weight, chance } of sorted) {
        sum += weight;
        if (sum >= share * all) return chance;
      }
      return 1;
    };
    return { low: at(0.025), high: at(0.975) };
  });
}

/** Every bake's luck is summed over by itself. */
function likelihoodOf(truth: ReturnType<typeof truthOf>, rows: readonly BendResultRow[]): number {
  let product = 1;
  for (const batch of new Set(rows.map((row) => row.batch))) {
    const own = rows.filter((row) => row.batch === batch);
    let sum = 0;
    for (const { z, weight } of LUCK) {
      let chance = weight;
      for (const { share, strain, grade } of own) {
        const x = Math.log(strain) - truth.tolerance(share) + truth.scatter * z;
        const passes = (at: number) =>
          at === 0 ? 1 : at > 4 ? 0 : logistic((x - truth.starts[at - 1]) / truth.softness);
        chance *= passes(grade) - passes(grade + 1);
      }
      sum += chance;
    }
    product *= sum;
  }
  return product;
}
