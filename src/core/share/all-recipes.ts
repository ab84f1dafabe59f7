import { dilutionOf, powerOf } from '../clay/mixture.ts';
import type { Predictor } from '../clay/predict.ts';
import { deltaE2000 } from '../colour/difference.ts';
import { BANDS } from '../colour/grid.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { commonDivisor } from '../numeric/common-divisor.ts';
import { mixEvaluator, partCurves } from '../search/mix-evaluator.ts';

/** Parts of a recipe of a page, and the clays in it. */
const MOST_PARTS = 12;
const MOST_CLAYS = 3;
/** Of so many clays every recipe is worked out once; of more, those that look useful for each colour. */
export const ALL_RECIPES_UP_TO = 24;
/** Closest by plain distance that are compared by CIEDE2000. */
const COMPARED = 24;

/** Every recipe of some clays, by lightness. */
export interface AllRecipes {
  readonly count: number;
  /** The closest to a colour by CIEDE2000; undefined where there is no recipe. */
  closest(aim: Lab): ClosestRecipe | undefined;
}

export interface ClosestRecipe {
  /** Clays by their index into the model, most parts first. */
  readonly parts: readonly { readonly clay: number; readonly parts: number }[];
  readonly dE00: number;
}

/**
 * All recipes of up to 3 of some clays in up to 12 whole parts without a common divisor, with their colours.
 * Holds:   departures of combinations count, as in every prediction
 */
export function allRecipes(predictor: Predictor, clays: readonly number[]): AllRecipes {
  const counts: number[][] = [];
  for (let size = 1; size <= Math.min(MOST_CLAYS, clays.length); size++) {
    for (const some of chosen(clays.length, size)) {
      for (const parts of splits(size)) {
        counts.push([...some.map((place, i) => clays[place] * 16 + parts[i])]);
      }
    }
  }
  const labs = new Float64Array(3 * counts.length);
  const colour = colourOf(predictor);
  counts.forEach((recipe, i) => {
    colour(recipe, labs, 3 * i);
  });
  const order = Uint32Array.from(counts.keys()).sort((a, b) => labs[3 * a] - labs[3 * b]);
  const lightness = Float64Array.from(order, (i) => labs[3 * i]);
  return {
    count: counts.length,
    closest(aim) {
      if (counts.length === 0) return undefined;
      let best: { readonly recipe: number; readonly dE00: number } | undefined;
      for (const recipe of closestPlain(aim)) {
        const dE00 = deltaE2000(aim, [
          labs[3 * recipe],
          labs[3 * recipe + 1],
          labs[3 * recipe + 2],
        ]);
        if (best === undefined || dE00 < best.dE00) best = { recipe, dE00 };
      }
      const parts = counts[best!.recipe]
        .map((code) => ({ clay: code >> 4, parts: code & 15 }))
        .sort((one, other) => other.parts - one.parts);
      return { parts, dE00: best!.dE00 };
    },
  };

  /** Outwards from the aim's lightness, until lightness alone is farther than the farthest that is held. */
  function closestPlain(aim: Lab): number[] {
    const held: { recipe: number; distance: number }[] = [];
    let up = firstFrom(lightness, aim[0]);
    let down = up - 1;
    let worst = Number.POSITIVE_INFINITY;
    for (;;) {
      const above = up < order.length ? (lightness[up] - aim[0]) ** 2 : Number.POSITIVE_INFINITY;
      const below = down >= 0 ? (lightness[down] - aim[0]) ** 2 : Number.POSITIVE_INFINITY;
      if (Math.min(above, below) >= worst) break;
      const recipe = order[above < below ? up++ : down--];
      const at = 3 * recipe;
      const distance =
        (labs[at] - aim[0]) ** 2 + (labs[at + 1] - aim[1]) ** 2 + (labs[at + 2] - aim[2]) ** 2;
      if (distance >= worst) continue;
      held.push({ recipe, distance });
      if (held.length < COMPARED) continue;
      held.sort((one, other) => one.distance - other.distance);
      held.length = COMPARED;
      worst = held[COMPARED - 1].distance;
    }
    return held.map(({ recipe }) => recipe);
  }
}

/**
 * Clays out of many that look useful for one colour: those of the closest pairs, and white and black.
 * Shape:   recipes of pairs alone -> at most `most` clays
 */
export function usefulClays(
  predictor: Predictor,
  clays: readonly number[],
  aim: Lab,
  most: number,
): readonly number[] {
  const colour = colourOf(predictor);
  const lab = new Float64Array(3);
  const score = new Map<number, number>();
  for (const [one, other] of chosen(clays.length, 2)) {
    for (const [a, b] of PAIRS) {
      colour([clays[one] * 16 + a, clays[other] * 16 + b], lab, 0);
      const distance = (lab[0] - aim[0]) ** 2 + (lab[1] - aim[1]) ** 2 + (lab[2] - aim[2]) ** 2;
      for (const clay of [clays[one], clays[other]]) {
        score.set(clay, Math.min(score.get(clay) ?? Number.POSITIVE_INFINITY, distance));
      }
    }
  }
  const plain = clays.filter((clay) =>
    ['white', 'black'].includes(predictor.model.clays[clay].clayClass),
  );
  const ranked = [...score].sort((a, b) => a[1] - b[1]).map(([clay]) => clay);
  return [...new Set([...plain.slice(0, 3), ...ranked])].slice(0, most);
}

const PAIRS = [
  [1, 1],
  [3, 1],
  [1, 3],
  [9, 1],
  [1, 9],
] as const;

/** Writes the colour of clays and parts, 16 times the clay plus its parts. */
function colourOf(predictor: Predictor) {
  const { model } = predictor;
  const curves = partCurves(predictor);
  const classes = model.clays.map(({ clayClass }) => clayClass);
  const isWhite = classes.map((clayClass) => clayClass === 'white');
  const evaluator = mixEvaluator(colourWeights('D50', 2), model.geometry);
  const departures = new Map(
    model.combinations.map(({ main, others, departures: own }) => [
      keyOf([main, ...others]),
      new Map(others.map((clay, i) => [clay, own[i]])),
    ]),
  );
  const white = new Float64Array(BANDS);
  const coloured = new Float64Array(BANDS);
  const scattering = new Float64Array(BANDS);
  const lab = new Float64Array(3);
  return (recipe: readonly number[], out: Float64Array, at: number) => {
    const clays = recipe.map((code) => code >> 4);
    const own = recipe.length < 2 ? undefined : departures.get(keyOf(clays));
    const raw = recipe.map((code) => (code & 15) * Math.exp(own?.get(code >> 4) ?? 0));
    const sum = raw.reduce((total, v) => total + v, 0);
    const raised = raw.map(
      (v, i) => (v / sum) ** powerOf(classes[clays[i]], model.physics.shareExponent),
    );
    const all = raised.reduce((total, v) => total + v, 0);
    const shares = clays.map((clay, i) => ({ clay, share: raised[i] / all }));
    const { factor } = dilutionOf(shares, isWhite, model.physics.dilution);
    white.fill(0);
    coloured.fill(0);
    scattering.fill(0);
    for (const { clay, share } of shares) {
      const { absorption, scattering: s } = curves[clay];
      const into = isWhite[clay] ? white : coloured;
      for (let band = 0; band < BANDS; band++) {
        into[band] += share * absorption[band];
        scattering[band] += share * s[band];
      }
    }
    evaluator.labInto(lab, white, coloured, scattering, factor);
    out.set(lab, at);
  };
}

function keyOf(clays: readonly number[]): string {
  return [...clays].sort((a, b) => a - b).join(' ');
}

/** Places of `size` out of `count`, rising. */
function chosen(count: number, size: number): number[][] {
  if (size === 1) return Array.from({ length: count }, (_, i) => [i]);
  return chosen(count, size - 1).flatMap((some) =>
    Array.from({ length: count - 1 - some[size - 2] }, (_, i) => [...some, some[size - 2] + 1 + i]),
  );
}

/** Whole parts of `size` clays, at most `MOST_PARTS` together, without a common divisor. */
function splits(size: number): number[][] {
  const all: number[][] = [];
  const grow = (parts: number[], left: number) => {
    if (parts.length === size) {
      if (parts.reduce(commonDivisor) === 1) all.push(parts);
      return;
    }
    for (let n = 1; n <= left - (size - parts.length - 1); n++) grow([...parts, n], left - n);
  };
  grow([], MOST_PARTS);
  return all;
}

function firstFrom(sorted: Float64Array, value: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle] < value) low = middle + 1;
    else high = middle;
  }
  return low;
}
