import type { Lab } from '../colour/triples.ts';
import type { ColourWeights } from '../colour/weights.ts';
import { backward, choleskyInPlace, forward } from '../numeric/dense-cholesky.ts';
import type { FactorBlock } from './block-cholesky.ts';
import type { ClayModel, ModelCombination } from './clay-model.ts';
import { joinClays } from './join-clays.ts';
import { mixInUnknowns, openModel, type Predictor } from './predict.ts';
import { ABSORPTION_LATENTS, LATENTS } from './prior.ts';

/** One baked reading of a new lot of a clay. */
export interface LotReading {
  readonly lab: Lab;
  /** Variance of the reading on each axis, CIELAB units squared. */
  readonly variance: number;
  /** Light and observer of the reading. */
  readonly weights: ColourWeights;
}

/**
 * How far the latents of two lots differ, in standard deviations of all clays: no less than two lots that look
 * alike, no more than two clays. Within these the reading itself says how different the lot is. Judgement.
 */
const LOTS = { alike: 0.1, apart: 1 } as const;
/**
 * Lots differ in how much pigment they hold more than in what scatters, so a latent of the scattering, and the
 * strength of both, differ by less (bench/new-lot.ts: with all alike a mix was said to move 1.2 too far). Judgement.
 */
const LESS = 0.4;
const SCALES = Float64Array.from({ length: LATENTS }, (_, k) =>
  k < ABSORPTION_LATENTS ? 1 : LESS,
);
/** Colours have so many axes: a difference of the expected size has this square, in deviations. */
const AXES = 3;
const ROUNDS = 6;
const HALVINGS = 5;

/**
 * A model with a new lot of one of its clays, known from one reading of it alone.
 * Shape:   a clay by index, a reading of the new lot -> the same model with the new lot as its last clay
 * Method:  the new lot is the old one plus a difference of its latents, as small as the reading allows; how
 *          large differences are is taken from the reading (its most likely size). What is uncertain of the
 *          old lot is uncertain of the new one too, through a column of the factor that joins the two. Mixes with
 *          the new lot depart from simple addition as those with the old one do
 * Holds:   predictions of the old lot stay as they are: the reading says nothing of the past
 */
export function withNewLot(predictor: Predictor, clay: number, reading: LotReading): Predictor {
  const { model } = predictor;
  const { difference, slopes, spread } = differenceOf(predictor, clay, reading);
  const column = columnOf(model, clay, slopes, spread, reading.variance);
  const old = model.clays[clay];
  const moved = (latent: Float64Array) => latent.map((v, i) => v + SCALES[i] * difference[i]);
  const joined = joinClays(model, {
    clays: [{ ...old, latent: moved(old.latent) }],
    byAlternative: ({ clays }) => [{ ...clays[clay], latent: moved(clays[clay].latent) }],
    columns: [column],
    place: 'first',
  });
  const lot = model.clays.length;
  return openModel({
    ...joined,
    combinations: withLot(joined.combinations, clay, lot),
    ...(joined.alternatives === undefined
      ? {}
      : {
          alternatives: joined.alternatives.map((other) => ({
            ...other,
            combinations: withLot(other.combinations, clay, lot),
          })),
        }),
  });
}

/** Every combination with the old lot is one with the new lot as well. */
function withLot(
  combinations: readonly ModelCombination[],
  clay: number,
  lot: number,
): ModelCombination[] {
  const other = (one: number) => (one === clay ? lot : one);
  const ofLot = combinations
    .filter(({ main, others }) => main === clay || others.includes(clay))
    .map((one) => ({ ...one, main: other(one.main), others: one.others.map(other) }));
  return [...combinations, ...ofLot];
}

interface Difference {
  /** 24 latents, each as a share of its scale. */
  readonly difference: Float64Array;
  /** Slopes of the colour of the new lot with these, 3 x 24 by rows. */
  readonly slopes: Float64Array;
  /** Standard deviation of each latent of the difference. */
  readonly spread: number;
}

/** The smallest difference of the latents that explains a reading: Gauss and Newton, with shorter steps where needed. */
function differenceOf(predictor: Predictor, clay: number, reading: LotReading): Difference {
  let difference = new Float64Array(LATENTS);
  let here = seenAt(predictor, clay, difference, reading);
  const spread = sizeOfDifference(here, reading.variance);
  for (let round = 0; round < ROUNDS; round++) {
    const { slopes, miss } = here;
    // In the 3 axes of the colour: (spread² J Jᵀ + variance) w = miss + J d, and d = spread² Jᵀ w.
    const wanted = Float64Array.from(miss, (v, r) => v + rowTimes(slopes, r, difference));
    const root = together(slopes, spread, reading.variance);
    choleskyInPlace(root, AXES);
    forward(root, wanted, AXES, 1);
    backward(root, wanted, AXES);
    const full = Float64Array.from({ length: LATENTS }, (_, k) => {
      let sum = 0;
      for (let r = 0; r < AXES; r++) sum += slopes[r * LATENTS + k] * wanted[r];
      return spread ** 2 * sum;
    });
    let step = 1;
    let next = here;
    let at = difference;
    for (let halving = 0; halving < HALVINGS; halving++) {
      at = difference.map((v, k) => v + step * (full[k] - v));
      next = seenAt(predictor, clay, at, reading);
      if (cost(at, next.miss, spread, reading.variance) < costAt()) break;
      step /= 2;
    }
    if (!(cost(at, next.miss, spread, reading.variance) < costAt())) break;
    difference = at;
    here = next;
  }
  return { difference, slopes: here.slopes, spread };

  function costAt(): number {
    return cost(difference, here.miss, spread, reading.variance);
  }
}

function cost(
  difference: Float64Array,
  miss: Float64Array,
  spread: number,
  variance: number,
): number {
  const moved = difference.reduce((sum, v) => sum + v * v, 0) / spread ** 2;
  return moved + miss.reduce((sum, v) => sum + v * v, 0) / variance;
}

/** Colour of the new lot where its latents differ so, against the reading. */
function seenAt(
  predictor: Predictor,
  clay: number,
  difference: Float64Array,
  { lab, weights }: LotReading,
): { readonly slopes: Float64Array; readonly miss: Float64Array } {
  const { model } = predictor;
  const clays = model.clays.map((one, i) =>
    i === clay ? { ...one, latent: one.latent.map((v, k) => v + SCALES[k] * difference[k]) } : one,
  );
  const { alternatives: _, ...alone } = model;
  const seen = mixInUnknowns(openModel({ ...alone, clays }), [{ clay, share: 1 }], {
    weights,
    partsSpread: 0,
  });
  const slopes = seen.blocks.get(clay) ?? new Float64Array(AXES * LATENTS);
  return {
    slopes: slopes.map((v, i) => v * SCALES[i % LATENTS]),
    miss: Float64Array.from(lab, (v, r) => v - seen.lab[r]),
  };
}

/** The size of differences under which one like this is most likely. */
function sizeOfDifference(
  { slopes, miss }: { readonly slopes: Float64Array; readonly miss: Float64Array },
  variance: number,
): number {
  const squared = (spread: number) => {
    const root = together(slopes, spread, variance);
    choleskyInPlace(root, AXES);
    const off = Float64Array.from(miss);
    forward(root, off, AXES, 1);
    return off.reduce((sum, v) => sum + v * v, 0);
  };
  let [low, high] = [LOTS.alike, LOTS.apart] as [number, number];
  if (squared(low) <= AXES) return low;
  if (squared(high) >= AXES) return high;
  while (high / low > 1.01) {
    const middle = Math.sqrt(low * high);
    if (squared(middle) > AXES) low = middle;
    else high = middle;
  }
  return high;
}

/** spread² J Jᵀ + variance, 3 x 3 by rows. */
function together(slopes: Float64Array, spread: number, variance: number): Float64Array {
  const out = new Float64Array(AXES * AXES);
  for (let r = 0; r < AXES; r++) {
    for (let c = 0; c < AXES; c++) {
      let sum = r === c ? variance : 0;
      for (let k = 0; k < LATENTS; k++) {
        sum += spread ** 2 * slopes[r * LATENTS + k] * slopes[c * LATENTS + k];
      }
      out[r * AXES + c] = sum;
    }
  }
  return out;
}

function rowTimes(slopes: Float64Array, row: number, values: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < LATENTS; k++) sum += slopes[row * LATENTS + k] * values[k];
  return sum;
}

/**
 * The column of the new lot: its own precision, from the size of differences and the reading, and how it hangs
 * on the old lot. The new lot comes first in the factor, so what is known of the old one stays as it is.
 */
function columnOf(
  model: ClayModel,
  clay: number,
  slopes: Float64Array,
  spread: number,
  variance: number,
): readonly FactorBlock[] {
  const n = LATENTS;
  const apart = SCALES.map((scale) => 1 / (scale * spread) ** 2);
  const own = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      let sum = i === j ? apart[i] : 0;
      for (let r = 0; r < AXES; r++) {
        sum += (slopes[r * n + i] * slopes[r * n + j]) / (SCALES[i] * SCALES[j] * variance);
      }
      own[i * n + j] = sum;
    }
  }
  choleskyInPlace(own, n);
  // Rows X of X Lᵀ = B: the columns of L Xᵀ = B.
  const link = new Float64Array(n * n);
  for (let i = 0; i < n; i++) link[i * n + i] = -apart[i];
  forward(own, link, n, n);
  const below = new Float64Array(n * n);
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) below[j * n + i] = link[i * n + j];
  const row = 1 + model.factor.order.indexOf(clay);
  return [
    { row: 0, values: own },
    { row, values: below },
  ];
}
