import { combinationOf } from '../clay/clay-model.ts';
import { powerOf } from '../clay/mixture.ts';
import type { Predictor } from '../clay/predict.ts';
import { deltaE2000At, type Factors } from '../colour/difference.ts';
import { BANDS } from '../colour/grid.ts';
import { invalidInput } from '../errors.ts';
import type { Gloss } from '../optics/surface.ts';
import type { ClayCurves } from './clay-tree.ts';
import { type MixEvaluator, mixEvaluator, partCurves } from './mix-evaluator.ts';
import { ALL_IDEAS, type SearchIdeas } from './search-ideas.ts';
import type { FindView, SearchHit, SearchOptions } from './search-options.ts';
import { type CompiledRules, compileRules } from './search-rules.ts';
import { type ListedRecipe, TopList } from './top-list.ts';

const PLAIN: Factors = [1, 1, 1];
/** Local copy of the number of bands, for fast loops. */
const N = BANDS;

/** A search made ready: clays numbered from 0, curves end to end, recipes judged one by one. */
export interface SearchProblem {
  readonly options: SearchOptions;
  readonly ideas: SearchIdeas;
  readonly views: readonly FindView[];
  readonly geometry: Gloss;
  /** Number of clays. */
  readonly size: number;
  readonly mostClays: number;
  readonly curves: ClayCurves;
  /** Departure of special clays, CIELAB: 3 values a clay. */
  readonly departures: Float64Array;
  /** Exponent of dilution, see `SharedPhysics`. */
  readonly dilution: number;
  /** Parts count to this power, see `amountsOf`; those of a concentrate as they are. */
  readonly power: number;
  readonly rules: CompiledRules;
  readonly kept: TopList;
  /** Sets of clays that were baked together and depart from simple addition. */
  readonly departing: readonly (readonly number[])[];
  departs(set: ArrayLike<number>, size: number): boolean;
  /** Recipes judged so far. */
  tried: number;
  /**
   * Works out a recipe, lists it if it is good enough and keeps to the rules; returns its error.
   */
  judge(set: ArrayLike<number>, counts: ArrayLike<number>, size: number): number;
  /** The same when the sums of K of whites, K of the rest and S are known already. */
  judgeSums(
    set: ArrayLike<number>,
    counts: ArrayLike<number>,
    size: number,
    white: Float64Array,
    colour: Float64Array,
    scattering: Float64Array,
  ): number;
  /** Colour of a recipe under the first light, its counts whole or not, written to out[0..2]. */
  labInto(out: Float64Array, set: ArrayLike<number>, counts: ArrayLike<number>, size: number): void;
  /** Error of a recipe over all lights, its counts whole or not. The recipe is not listed. */
  errorOf(set: ArrayLike<number>, counts: ArrayLike<number>, size: number): number;
  found(): SearchHit[];
}

/** Most whole parts of one recipe: each count is one byte. */
const MOST_PARTS = 255;

/**
 * Refuses: no clay to mix from, a clay that is not of the model or named twice, an aim that is not
 *          a number, counts that are not whole and positive, more than 255 parts, amounts that are
 *          not positive, a limit on the error that is not a number -> invalid-input
 */
export function searchProblem(
  predictor: Predictor,
  options: SearchOptions,
  ideas: SearchIdeas = ALL_IDEAS,
): SearchProblem {
  check(predictor, options);
  const { model } = predictor;
  const { clays, parts } = options;
  const size = clays.length;
  const views = [viewOf(options), ...(options.otherLights ?? [])];
  const geometry = options.geometry ?? model.geometry;
  const evaluators: MixEvaluator[] = views.map(({ weights }) => mixEvaluator(weights, geometry));
  const curves = curvesOf(predictor, options);
  const { white, amount } = curves;
  const power = 1 + model.physics.shareExponent;
  const even = power === 1 && amount.every((v) => v === amount[0]);
  const { held } = curves;
  const weights = new Float64Array(MOST_PARTS + 1);
  const departures = new Float64Array(3 * size);
  clays.forEach((clay, i) => {
    departures.set(model.clays[clay].effect?.departure.subarray(0, 3) ?? [0, 0, 0], 3 * i);
  });
  const special = curves.special.some((v) => v === 1);
  const { dilution } = model.physics;
  const dilutions = dilutionFactors(parts, dilution);
  const rules = compileRules(options.rules, clays);
  const kept = new TopList(
    options.top,
    namesInOrder(clays.map((p) => model.clays[p].name)),
    options.below,
  );
  const combinations = combinationFactors(predictor, options);
  const sums = [0, 1, 2].map(() => new Float64Array(N));
  const nudged = [0, 1, 2].map(() => new Float64Array(N));
  const lastSet: number[] = [];
  let lastSize = -1;
  let lastFactors: ReadonlyMap<number, number> | undefined;
  const lab = new Float64Array(3);
  const other = new Float64Array(3);

  const problem: SearchProblem = {
    options,
    ideas,
    views,
    geometry,
    size,
    mostClays: Math.min(options.mostClays, size, parts),
    curves,
    departures,
    dilution,
    power,
    rules,
    kept,
    departing: [...combinations.keys()].map((key) => key.split('+').map(Number)),
    departs: (set, n) => factorsFor(set, n) !== undefined,
    tried: 0,
    judge(set, counts, n) {
      mixInto(sums, set, counts, n);
      return problem.judgeSums(set, counts, n, sums[0], sums[1], sums[2]);
    },
    judgeSums(set, counts, n, whiteSum, colourSum, scattering) {
      problem.tried++;
      const worst = kept.worst;
      const factor = factorOf(set, counts, n);
      let error = 0;
      for (let v = 0; v < views.length && error <= worst; v++) {
        const out = v === 0 ? lab : other;
        evaluators[v].labInto(out, whiteSum, colourSum, scattering, factor);
        if (special) addDeparture(out, set, counts, n);
        error = Math.max(error, errorOf(views[v], out, worst));
      }
      if (error <= worst && rules.allowsParts(set, n, counts) && roundsWell(set, counts, n)) {
        kept.offer(set, counts, n, lab, error);
      }
      return error;
    },
    labInto(out, set, counts, n) {
      mixInto(nudged, set, counts, n);
      evaluators[0].labInto(out, nudged[0], nudged[1], nudged[2], factorOf(set, counts, n));
      if (special) addDeparture(out, set, counts, n);
    },
    errorOf(set, counts, n) {
      mixInto(nudged, set, counts, n);
      const factor = factorOf(set, counts, n);
      let error = 0;
      views.forEach((view, v) => {
        evaluators[v].labInto(other, nudged[0], nudged[1], nudged[2], factor);
        if (special) addDeparture(other, set, counts, n);
        error = Math.max(error, errorOf(view, other, Number.POSITIVE_INFINITY));
      });
      return error;
    },
    found: () => kept.sorted().map((entry) => foundOf(entry, clays)),
  };
  return problem;

  /** Factors on the amounts of a set, worked out once for consecutive recipes of that set. */
  function factorsFor(set: ArrayLike<number>, n: number): ReadonlyMap<number, number> | undefined {
    if (combinations.size === 0) return undefined;
    let same = n === lastSize;
    for (let i = 0; same && i < n; i++) same = lastSet[i] === set[i];
    if (!same) {
      lastSize = n;
      for (let i = 0; i < n; i++) lastSet[i] = set[i];
      lastFactors = combinations.get(keyOf(set, n));
    }
    return lastFactors;
  }

  function mixInto(
    [w, c, s]: Float64Array[],
    set: ArrayLike<number>,
    counts: ArrayLike<number>,
    n: number,
  ): void {
    w.fill(0);
    c.fill(0);
    s.fill(0);
    weigh(set, counts, n);
    for (let i = 0; i < n; i++) {
      const from = set[i] * N;
      const count = weights[i];
      const target = white[set[i]] === 1 ? w : c;
      for (let band = 0; band < N; band++) {
        target[band] += count * curves.k[from + band];
        s[band] += count * curves.s[from + band];
      }
    }
  }

  /** What the parts of a recipe count for beside its curves, into `weights`. */
  function weigh(set: ArrayLike<number>, counts: ArrayLike<number>, n: number): void {
    const factors = factorsFor(set, n);
    let total = 0;
    for (let i = 0; i < n; i++) {
      weights[i] = counts[i] * (factors?.get(set[i]) ?? 1);
      total += weights[i] * held[set[i]];
    }
    if (power === 1) return;
    for (let i = 0; i < n; i++) {
      // Of a share to a power the total is taken out, which concentrates then hold instead.
      if (curves.linear[set[i]] === 1) weights[i] *= total ** (power - 1);
      else weights[i] **= power;
    }
  }

  /** The factor of dilution on the colour of these parts. */
  function factorOf(set: ArrayLike<number>, counts: ArrayLike<number>, n: number): number {
    weigh(set, counts, n);
    let all = 0;
    let coloured = 0;
    let whole = even && factorsFor(set, n) === undefined;
    for (let i = 0; i < n; i++) {
      const part = whole ? counts[i] : weights[i] * amount[set[i]];
      whole &&= Number.isInteger(part);
      all += part;
      if (white[set[i]] === 0) coloured += part;
    }
    if (coloured === 0) return 1;
    return whole && all <= parts
      ? dilutions[coloured * (parts + 1) + all]
      : (coloured / all) ** dilution;
  }

  function addDeparture(
    out: Float64Array,
    set: ArrayLike<number>,
    counts: ArrayLike<number>,
    n: number,
  ): void {
    let all = 0;
    for (let i = 0; i < n; i++) all += counts[i] * held[set[i]];
    for (let i = 0; i < n; i++) {
      const share = (counts[i] * held[set[i]]) / all;
      for (let k = 0; k < 3; k++) out[k] += share * departures[3 * set[i] + k];
    }
  }

  /**
   * Whether half a part more or less of any clay stays within the rule, with the recipe cut as
   * large as the parts allow.
   */
  function roundsWell(set: ArrayLike<number>, counts: ArrayLike<number>, n: number): boolean {
    if (!Number.isFinite(rules.halfPart) || n < 2) return true;
    let total = 0;
    for (let i = 0; i < n; i++) total += counts[i];
    const half = 0.5 / Math.floor(parts / total);
    const whole: [number, number, number] = [lab[0], lab[1], lab[2]];
    const moved = Array.from({ length: n }, (_, i) => counts[i]);
    for (let i = 0; i < n; i++) {
      for (const sign of [1, -1]) {
        moved[i] = counts[i] + sign * half;
        problem.labInto(other, set, moved, n);
        moved[i] = counts[i];
        const shift = deltaE2000At(whole[0], whole[1], whole[2], other[0], other[1], other[2]);
        if (shift > rules.halfPart) return false;
      }
    }
    return true;
  }
}

function viewOf({ aim, weights, factors }: FindView): FindView {
  return factors === undefined ? { aim, weights } : { aim, weights, factors };
}

function errorOf({ aim, factors }: FindView, lab: Float64Array, worst: number): number {
  const [kL, kC, kH] = factors ?? PLAIN;
  const dL = Math.abs(lab[0] - aim[0]);
  // S_L of CIEDE2000 is at most 1.747 between black and white; special clays may be beyond.
  if (dL > 1.75 * kL * worst && isWithin(aim[0]) && isWithin(lab[0])) return dL / (1.75 * kL);
  return deltaE2000At(aim[0], aim[1], aim[2], lab[0], lab[1], lab[2], kL, kC, kH);
}

function isWithin(lightness: number): boolean {
  return lightness >= 0 && lightness <= 100;
}

function curvesOf(predictor: Predictor, { clays, amounts }: SearchOptions): ClayCurves {
  const all = partCurves(predictor);
  const k = new Float64Array(clays.length * N);
  const s = new Float64Array(clays.length * N);
  const { clays: ofModel, physics } = predictor.model;
  const held = Float64Array.from(clays, (p) => amounts?.[p] ?? 1);
  const amount = held.map(
    (v, i) => v ** powerOf(ofModel[clays[i]].clayClass, physics.shareExponent),
  );
  clays.forEach((clay, i) => {
    for (let band = 0; band < N; band++) {
      k[i * N + band] = amount[i] * all[clay].absorption[band];
      s[i * N + band] = amount[i] * all[clay].scattering[band];
    }
  });
  return {
    k,
    s,
    held,
    amount,
    white: Uint8Array.from(clays, (p) => Number(all[p].white)),
    linear: Uint8Array.from(clays, (p) => Number(ofModel[p].clayClass === 'concentrate')),
    special: Uint8Array.from(clays, (p) => Number(predictor.model.clays[p].effect !== undefined)),
  };
}

/** Factors on the amounts of sets that were baked and depart from simple addition. */
function combinationFactors(
  { model }: Predictor,
  { clays, mostClays }: SearchOptions,
): ReadonlyMap<string, ReadonlyMap<number, number>> {
  const place = new Map(clays.map((p, i) => [p, i]));
  const out = new Map<string, ReadonlyMap<number, number>>();
  for (const { main, others } of model.combinations) {
    const set = [main, ...others].map((p) => place.get(p));
    if (set.length < 2 || set.length > mostClays || set.includes(undefined)) continue;
    const combination = combinationOf(model, [main, ...others]);
    if (combination === undefined) continue;
    const factors = new Map<number, number>();
    combination.others.forEach((p, i) => {
      factors.set(place.get(p)!, Math.exp(combination.departures[i]));
    });
    out.set(keyOf(set as number[], set.length), factors);
  }
  return out;
}

function keyOf(set: ArrayLike<number>, size: number): string {
  return Array.from({ length: size }, (_, i) => set[i])
    .sort((a, b) => a - b)
    .join('+');
}

function foundOf({ set, counts, lab, dE00 }: ListedRecipe, clays: readonly number[]): SearchHit {
  return {
    parts: set
      .map((i, at) => ({ clay: clays[i], parts: counts[at] }))
      .sort((a, b) => b.parts - a.parts),
    lab,
    dE00,
  };
}

/** Rank of each name in alphabetical order. */
function namesInOrder(names: readonly string[]): Int32Array {
  const rank = new Int32Array(names.length);
  names
    .map((name, i) => ({ name, i }))
    .sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : a.i - b.i))
    .forEach(({ i }, at) => {
      rank[i] = at;
    });
  return rank;
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

function check(predictor: Predictor, options: SearchOptions): void {
  const { clays, parts, top, mostClays } = options;
  for (const [name, value] of Object.entries({ mostClays, parts, top })) {
    if (!Number.isInteger(value) || value < 1) {
      throw invalidInput(
        `A search was asked with ${name} ${value}; it must be a whole number from 1.`,
      );
    }
  }
  if (parts > MOST_PARTS) {
    throw invalidInput(
      `A recipe of ${parts} parts was asked for; there are at most ${MOST_PARTS}.`,
    );
  }
  if (Number.isNaN(options.below)) throw invalidInput('The limit on the error is no number.');
  if (clays.length === 0 || new Set(clays).size < clays.length) {
    throw invalidInput('A find needs at least one clay, and none twice.');
  }
  if (clays.some((clay) => predictor.model.clays[clay] === undefined)) {
    throw invalidInput('A search names a clay that is not in the clay model.');
  }
  for (const { aim, factors } of [options, ...(options.otherLights ?? [])]) {
    if (factors?.some((v) => !(v > 0 && Number.isFinite(v)))) {
      throw invalidInput('What a difference is divided by must be a number above 0.');
    }
    if (!aim.every(Number.isFinite))
      throw invalidInput(`An aim of ${aim.join(', ')} is not a colour.`);
  }
  if (options.amounts?.some((v) => !(v > 0 && Number.isFinite(v)))) {
    throw invalidInput('A part holds a positive amount of clay.');
  }
}

/** Recipes of 1 to mostClays clays and at most `parts` parts, no common factor. */
export function countRecipes(clays: number, mostClays: number, parts: number): number {
  let sum = 0;
  for (let m = 1; m <= Math.min(mostClays, clays, parts); m++) {
    sum += choose(clays, m) * countCompositions(m, parts);
  }
  return sum;
}

/** Ways to share out at most `parts` whole parts among m clays, none 0, no common factor. */
export function countCompositions(m: number, parts: number): number {
  // f(T) = sum over d of g(T / d), g without common factor: g(T) = f(T) - sum over d > 1 of g(T/d).
  const known = new Map<number, number>();
  const coprime = (t: number): number => {
    if (t < m) return 0;
    const cached = known.get(t);
    if (cached !== undefined) return cached;
    let value = choose(t, m);
    for (let d = 2; d <= t; d++) value -= coprime(Math.floor(t / d));
    known.set(t, value);
    return value;
  };
  return coprime(parts);
}

/** Ways to choose k of n; rounded where the number is past 2^53. */
export function choose(n: number, k: number): number {
  if (k < 0 || k > n) return 0;
  let value = 1;
  for (let i = 1; i <= k; i++) value = (value * (n - k + i)) / i;
  return Math.round(value);
}
