import { combinationOf } from '../clay/clay-model.ts';
import { departureOfEffects, type Predictor } from '../clay/predict.ts';
import { deltaE2000At } from '../colour/difference.ts';
import { BANDS } from '../colour/grid.ts';
import type { Lab } from '../colour/triples.ts';
import type { ColourWeights } from '../colour/weights.ts';
import { invalidInput } from '../errors.ts';
import { mixEvaluator, type PartCurves, partCurves } from './mix-evaluator.ts';

export interface SeekOptions {
  readonly aim: Lab;
  /** Light and observer of the aim and of the answers. */
  readonly weights: ColourWeights;
  /** As most of the model's readings when absent. */
  readonly geometry?: 'included' | 'excluded';
  /** Parents that may be used, as indices into the model; none twice. */
  readonly parents: readonly number[];
  /** Most parents in one recipe. */
  readonly mostParents: number;
  /** Most whole parts in one recipe, all parents together. */
  readonly parts: number;
  /** How many recipes to keep. */
  readonly top: number;
}

export interface FoundRecipe {
  readonly parts: readonly { readonly parent: number; readonly parts: number }[];
  readonly lab: Lab;
  readonly dE00: number;
}

export interface SeekRun {
  /** Tries about this many further recipes; true when none is left. */
  step(budgetRecipes: number): boolean;
  /** Recipes looked at so far, and in all; multiples of a smaller recipe are looked at and left. */
  readonly tried: number;
  readonly total: number;
  /** Best first; of equally good recipes the one of fewer parts. */
  best(): FoundRecipe[];
}

/**
 * The plain search: every recipe of whole parts there is, each predicted once.
 * Shape:   any number of parents; recipes of 1 to mostParents parents and at most `parts` parts
 * Units:   aim and answers in CIELAB under the weights' light; CIEDE2000
 * Refuses: nothing to mix from, a parent that is not of the model, an aim without a value, counts
 *          that are not whole and positive -> invalid-input
 * Holds:   no recipe within the bounds is better than the best returned; 2 A + 2 B is 1 A + 1 B
 */
export function startSeek(predictor: Predictor, options: SeekOptions): SeekRun {
  const { aim, parents, parts, top } = options;
  for (const [name, value] of Object.entries({ mostParents: options.mostParents, parts, top })) {
    if (!Number.isInteger(value) || value < 1) {
      throw invalidInput(`A seek got ${name} ${value}; it must be a whole number from 1.`);
    }
  }
  if (parents.length === 0 || new Set(parents).size < parents.length) {
    throw invalidInput('A seek needs at least one parent, and none twice.');
  }
  if (parents.some((parent) => predictor.model.parents[parent] === undefined)) {
    throw invalidInput('A seek names a parent the clay model does not hold.');
  }
  if (!aim.every(Number.isFinite)) {
    throw invalidInput(`An aim of ${aim.join(', ')} is no colour.`);
  }
  const mostParents = Math.min(options.mostParents, parents.length, parts);
  const curves = partCurves(predictor);
  const evaluator = mixEvaluator(options.weights, options.geometry ?? predictor.model.geometry);
  const factors = dilutionFactors(parts, predictor.model.physics.dilution);
  const found = topList(top);
  const lab = new Float64Array(3);
  const sums = Array.from({ length: mostParents + 1 }, () => ({
    white: new Float64Array(BANDS),
    colour: new Float64Array(BANDS),
    scattering: new Float64Array(BANDS),
  }));
  let tried = 0;
  const walk = subsets();

  return {
    step(budget) {
      const until = tried + budget;
      while (tried < until) if (walk.next().done === true) return true;
      return tried >= total();
    },
    get tried() {
      return tried;
    },
    get total() {
      return total();
    },
    best: () => found.sorted(),
  };

  function total(): number {
    let sum = 0;
    for (let m = 1; m <= mostParents; m++) sum += choose(parents.length, m) * choose(parts, m);
    return sum;
  }

  function* subsets(): Generator<void> {
    const chosen: number[] = [];
    for (let m = 1; m <= mostParents; m++) yield* extend(0, m);

    function* extend(from: number, left: number): Generator<void> {
      if (left === 0) {
        tryAllCounts(chosen);
        yield;
        return;
      }
      for (let i = from; i <= parents.length - left; i++) {
        chosen.push(parents[i]);
        yield* extend(i + 1, left - 1);
        chosen.pop();
      }
    }
  }

  /** Every choice of counts for one set of parents; whites first, so that the last adds colour. */
  function tryAllCounts(set: readonly number[]): void {
    const ordered = [...set].sort((a, b) => Number(curves[b].white) - Number(curves[a].white));
    const amounts = departureFactors(set);
    const members = ordered.map((parent) => scaled(curves[parent], amounts.get(parent) ?? 1));
    const whites = members.map((member) => (member.white ? 1 : 0));
    const weightsOf = ordered.map((parent) => amounts.get(parent) ?? 1);
    const counts = new Array<number>(ordered.length).fill(0);
    const plain = amounts.size === 0;
    const special = ordered.some((parent) => predictor.model.parents[parent].effect !== undefined);
    sums[0].white.fill(0);
    sums[0].colour.fill(0);
    sums[0].scattering.fill(0);
    level(0, parts);

    function level(at: number, left: number): void {
      const from = sums[at];
      const to = sums[at + 1];
      to.white.set(from.white);
      to.colour.set(from.colour);
      to.scattering.set(from.scattering);
      const { absorption, scattering, white } = members[at];
      const target = white ? to.white : to.colour;
      const last = at === members.length - 1;
      const most = left - (members.length - 1 - at);
      for (let count = 1; count <= most; count++) {
        counts[at] = count;
        for (let band = 0; band < BANDS; band++) {
          target[band] += absorption[band];
          to.scattering[band] += scattering[band];
        }
        if (last) judge(to);
        else level(at + 1, left - count);
      }
    }

    function addDeparture(): void {
      const whole = counts.reduce((sum, n) => sum + n, 0);
      const mix = ordered.map((parent, i) => ({ parent, share: counts[i] / whole }));
      const departure = departureOfEffects(predictor.model, mix);
      for (let k = 0; k < 3; k++) lab[k] += departure[k];
    }

    function judge(sum: (typeof sums)[number]): void {
      tried++;
      let divisor = 0;
      for (let i = 0; i < counts.length; i++) divisor = greatestCommonDivisor(divisor, counts[i]);
      if (divisor > 1) return;
      let all = 0;
      let white = 0;
      for (let i = 0; i < counts.length; i++) {
        all += counts[i] * weightsOf[i];
        white += counts[i] * weightsOf[i] * whites[i];
      }
      const factor = plain
        ? factors[(all - white) * (parts + 1) + all]
        : ((all - white) / all) ** predictor.model.physics.dilution;
      evaluator.labInto(lab, sum.white, sum.colour, sum.scattering, all === white ? 1 : factor);
      if (special) addDeparture();
      const worst = found.worst();
      // S_L of CIEDE2000 is never above 1.747, so a difference in lightness alone can rule out.
      if (Math.abs(lab[0] - aim[0]) > 1.75 * worst) return;
      const dE00 = deltaE2000At(aim[0], aim[1], aim[2], lab[0], lab[1], lab[2]);
      if (dE00 <= worst) found.add(dE00, lab, ordered, counts);
    }
  }

  /** Factors on the amounts of a combination that was baked and departs from simple addition. */
  function departureFactors(set: readonly number[]): ReadonlyMap<number, number> {
    const factorsOf = new Map<number, number>();
    const combination = set.length > 1 ? combinationOf(predictor.model, set) : undefined;
    combination?.others.forEach((parent, i) => {
      factorsOf.set(parent, Math.exp(combination.departures[i]));
    });
    return factorsOf;
  }
}

function scaled(curves: PartCurves, factor: number): PartCurves {
  if (factor === 1) return curves;
  return {
    absorption: curves.absorption.map((v) => v * factor),
    scattering: curves.scattering.map((v) => v * factor),
    white: curves.white,
  };
}

/** (coloured / all) ** exponent for all whole counts: index coloured * (parts + 1) + all. */
function dilutionFactors(parts: number, exponent: number): Float64Array {
  const table = new Float64Array((parts + 1) * (parts + 1)).fill(1);
  for (let all = 1; all <= parts; all++) {
    for (let coloured = 1; coloured <= all; coloured++) {
      table[coloured * (parts + 1) + all] = (coloured / all) ** exponent;
    }
  }
  return table;
}

/** The best so far; a recipe enters only when it beats the worst kept. */
function topList(size: number) {
  const kept: (FoundRecipe & { total: number })[] = [];
  return {
    worst: () => (kept.length < size ? Number.POSITIVE_INFINITY : kept[kept.length - 1].dE00),
    add(
      dE00: number,
      lab: Float64Array,
      parents: readonly number[],
      counts: readonly number[],
    ): void {
      const total = counts.reduce((sum, n) => sum + n, 0);
      const entry = {
        parts: parents
          .map((parent, i) => ({ parent, parts: counts[i] }))
          .sort((a, b) => b.parts - a.parts),
        lab: [lab[0], lab[1], lab[2]] as const,
        dE00,
        total,
      };
      let at = kept.length;
      while (at > 0 && isBefore(entry, kept[at - 1])) at--;
      kept.splice(at, 0, entry);
      if (kept.length > size) kept.pop();
    },
    sorted: (): FoundRecipe[] => kept.map(({ parts, lab, dE00 }) => ({ parts, lab, dE00 })),
  };
}

function isBefore(a: { dE00: number; total: number }, b: { dE00: number; total: number }): boolean {
  return a.dE00 < b.dE00 || (a.dE00 === b.dE00 && a.total < b.total);
}

function greatestCommonDivisor(a: number, b: number): number {
  let [x, y] = [a, b];
  while (y !== 0) [x, y] = [y, x % y];
  return x;
}

function choose(n: number, k: number): number {
  let value = 1;
  for (let i = 1; i <= k; i++) value = (value * (n - k + i)) / i;
  return Math.round(value);
}
