import { departureSpread, drawnColours, learnedDepartures } from '../belief/drawn-colours.ts';
import {
  type ClayUnknowns,
  clayDrawer,
  type DrawnClays,
  drawUnknowns,
  unknownsOf,
} from '../belief/draws.ts';
import { resampled } from '../belief/resampled.ts';
import { sliceMove, type WeighedDraw } from '../belief/slice-move.ts';
import { type Predictor, predictMix } from '../clay/predict.ts';
import type { Lab } from '../colour/triples.ts';
import type { ColourWeights } from '../colour/weights.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';
import { choleskyInPlace, forward } from '../numeric/dense-cholesky.ts';
import { type Chance, seededChance } from '../numeric/seeded-chance.ts';
import { spreadOfDraws } from '../numeric/spread-of-draws.ts';
import type { Gloss } from '../optics/surface.ts';
import { casesOf, type LumpCase, type LumpReading } from './lump.ts';
import { chanceOfMeant } from './meant-recipe.ts';

export interface LumpOptions {
  readonly weights: ColourWeights;
  readonly geometry: Gloss;
  /** Relative standard deviation of all pieces of one clay as they were cut. */
  readonly partsSpread: number;
}

/** One way in which clays and lump may truly be. */
export interface LumpDraw {
  readonly at: LumpCase;
  readonly draw: Float64Array;
  readonly clays: DrawnClays;
  /** Pieces truly in the lump, in the order of its clays. */
  readonly amounts: readonly number[];
  /** ln amount by which each departs from simple addition. */
  readonly departures: readonly number[];
}

type WeighedCase = LumpCase & { readonly chance: number };

/** What is believed of a lump and its clays after a look at it. */
export interface LumpBelief {
  readonly unknowns: ClayUnknowns;
  readonly options: LumpOptions;
  /** The likeliest first. */
  readonly cases: readonly [WeighedCase, ...WeighedCase[]];
  /** Each as likely as any other. */
  readonly draws: readonly LumpDraw[];
}

const DRAWS = 120;
/** Draws from which the first step towards the reading is taken: fewer for a case that few draws stand for. */
const FIRST_LOOK = 160;
const LEAST_LOOK = 40;
const LOOKS_A_DRAW = 4;
const MOVES = 3;
/** Cases less likely than this are left out. */
const UNLIKELY = 0.01;
/** Draws by which recipes are chosen that may have been meant. */
const LOOKS = 8;
const SEED = 5;
const NO_AIM = new Float64Array(9);

/**
 * Weighs the clay model and the pieces said to be in a lump together with how the lump looks.
 * Shape:   pieces by clay, at least one, and their scale; with a reading or without
 * Method:  every case of `casesOf` is weighed by how well it explains the reading; draws of the clays,
 *          of the cut of the pieces and of the departure of this combination take one step of a
 *          Kalman filter [Evensen1994] and then move along slices [Murray2010], weighted by the reading
 * Holds:   the same question gives the same answer
 */
export function believeLump(
  predictor: Predictor,
  said: WholeParts,
  scale: number,
  reading: LumpReading | undefined,
  options: LumpOptions,
  aim?: Lab,
): LumpBelief {
  const chance = seededChance(SEED);
  const unknowns = unknownsOf(predictor, options.weights, NO_AIM, true);
  const cases = weighedCases(predictor, casesOf(said, scale), reading, options);
  const draws = cases.flatMap((one) =>
    drawsOf(
      unknowns,
      one,
      reading,
      options,
      Math.max(1, Math.round(DRAWS * one.chance)),
      chance,
      aim === undefined ? undefined : { aim, scale },
    ),
  );
  return { unknowns, options, cases, draws };
}

function weighedCases(
  predictor: Predictor,
  cases: readonly LumpCase[],
  reading: LumpReading | undefined,
  { weights, geometry, partsSpread }: LumpOptions,
): LumpBelief['cases'] {
  if (reading === undefined) return [{ ...cases[0], chance: 1 }];
  const logs = cases.map(({ lump, prior }) => {
    const all = lump.reduce((sum, { parts }) => sum + parts, 0);
    const shares = lump.map(({ clay, parts }) => ({ clay, share: parts / all }));
    const { lab, covariance } = predictMix(predictor, shares, { weights, geometry, partsSpread });
    const root = covariance.map((v, k) => v + (k % 4 === 0 ? reading.variance : 0));
    choleskyInPlace(root, 3);
    const off = Float64Array.from(lab, (v, k) => reading.lab[k] - v);
    forward(root, off, 3, 1);
    const squared = off.reduce((sum, v) => sum + v * v, 0);
    return Math.log(prior) - squared / 2 - Math.log(root[0] * root[4] * root[8]);
  });
  const most = Math.max(...logs);
  const scales = logs.map((log) => Math.exp(log - most));
  const sum = scales.reduce((total, v) => total + v, 0);
  const likely = cases
    .map((one, i) => ({ ...one, chance: scales[i] / sum }))
    .filter(({ chance }) => chance >= UNLIKELY);
  const kept = likely.reduce((total, { chance }) => total + chance, 0);
  const [first, ...others] = likely
    .map((one) => ({ ...one, chance: one.chance / kept }))
    .sort((a, b) => b.chance - a.chance);
  return [first, ...others];
}

function drawsOf(
  unknowns: ClayUnknowns,
  at: LumpCase,
  reading: LumpReading | undefined,
  options: LumpOptions,
  count: number,
  chance: Chance,
  wanted: { readonly aim: Lab; readonly scale: number } | undefined,
): LumpDraw[] {
  const { lump } = at;
  const { model } = unknowns.predictor;
  const indices = lump.map(({ clay }) => clay);
  const intended = lump.map(({ parts }) => parts);
  const main = intended.indexOf(Math.max(...intended));
  const learned = lump.length > 1 ? learnedDepartures(unknowns, indices) : undefined;
  const departureAt = unknowns.modelSize;
  const handAt = departureAt + lump.length;
  const length = handAt + lump.length;
  const claysOf = clayDrawer(unknowns);
  const colourInto = drawnColours(unknowns, options.geometry);
  const out = new Float64Array(3);

  const opened = (draw: Float64Array): LumpDraw => ({
    at,
    draw,
    clays: claysOf(draw),
    amounts: lump.map(
      ({ parts }, i) =>
        parts * (lump.length > 1 ? Math.exp(options.partsSpread * draw[handAt + i]) : 1),
    ),
    departures: indices.map((clay, i) => {
      if (learned !== undefined) return learned(clay, draw);
      if (i === main) return 0;
      return departureSpread(model, clay) * draw[departureAt + i];
    }),
  });
  const colourOf = (
    { clays, draw, departures }: LumpDraw,
    amounts: readonly number[],
    counts: readonly number[],
  ): Float64Array => {
    const counted = amounts.map((v, i) => v * Math.exp(departures[i]));
    colourInto(out, clays, draw, indices, counted, counts);
    return out;
  };
  const lookInto = (draw: Float64Array): void => {
    const seen = opened(draw);
    colourOf(seen, seen.amounts, intended);
  };
  const fresh = () => drawUnknowns(unknowns, length, chance);
  const first =
    reading === undefined
      ? Array.from({ length: count }, fresh)
      : towardsReading(
          lookInto,
          out,
          fresh,
          reading,
          Math.max(count, Math.min(FIRST_LOOK, LEAST_LOOK + LOOKS_A_DRAW * count)),
          chance,
        ).slice(0, count);
  const meant =
    wanted === undefined
      ? undefined
      : chanceOfMeant(
          intended.map((parts) => rounded(parts / wanted.scale)),
          wanted.aim,
          first.slice(0, LOOKS).map(opened),
          (seen: LumpDraw, counts) => colourOf(seen, counts, counts),
        );
  if (reading === undefined && meant === undefined) return first.map(opened);

  const height = (draw: Float64Array): number => {
    const seen = opened(draw);
    let sum = meant?.(seen) ?? 0;
    if (reading === undefined) return sum;
    colourOf(seen, seen.amounts, intended);
    for (let k = 0; k < 3; k++) sum -= (reading.lab[k] - out[k]) ** 2 / (2 * reading.variance);
    return sum;
  };
  return resampledBy(first, meant && ((draw) => meant(opened(draw))), chance).map((start) => {
    let now: WeighedDraw = { draw: start, height: height(start) };
    for (let move = 0; move < MOVES; move++) now = sliceMove(now, fresh(), height, chance);
    return opened(now.draw);
  });
}

/** Counts that were scaled and scaled back are whole again. */
function rounded(parts: number): number {
  const whole = Math.round(parts);
  return Math.abs(parts - whole) < 1e-9 ? whole : parts;
}

/** As many draws again, each as often as its chance says. */
function resampledBy(
  draws: readonly Float64Array[],
  chanceOf: ((draw: Float64Array) => number) | undefined,
  chance: Chance,
): readonly Float64Array[] {
  if (chanceOf === undefined) return draws;
  const logs = draws.map(chanceOf);
  const most = Math.max(...logs);
  return resampled(
    draws,
    logs.map((log) => Math.exp(log - most)),
    chance,
  );
}

/** Draws moved towards a reading by one step of a Kalman filter whose covariances are those of the draws. */
function towardsReading(
  lookInto: (draw: Float64Array) => void,
  out: Float64Array,
  fresh: () => Float64Array,
  reading: LumpReading,
  count: number,
  chance: Chance,
): Float64Array[] {
  const draws = Array.from({ length: count }, fresh);
  const looks = new Float64Array(3 * count);
  draws.forEach((draw, n) => {
    lookInto(draw);
    looks.set(out, 3 * n);
  });
  const { mean, covariance } = spreadOfDraws(looks);
  for (let k = 0; k < 3; k++) covariance[k * 4] += reading.variance;
  choleskyInPlace(covariance, 3);
  const length = draws[0].length;
  // Columns: how each unknown goes together with the looks, divided by the root of their covariance.
  const together = new Float64Array(3 * length);
  draws.forEach((draw, n) => {
    for (let k = 0; k < 3; k++) {
      const off = (looks[3 * n + k] - mean[k]) / (count - 1);
      for (let u = 0; u < length; u++) together[k * length + u] += off * draw[u];
    }
  });
  forward(covariance, together, 3, length);
  return draws.map((draw, n) => {
    const miss = Float64Array.from(
      looks.subarray(3 * n, 3 * n + 3),
      (v, k) => reading.lab[k] + Math.sqrt(reading.variance) * chance.normal() - v,
    );
    forward(covariance, miss, 3, 1);
    const moved = Float64Array.from(draw);
    for (let k = 0; k < 3; k++) {
      for (let u = 0; u < length; u++) moved[u] += together[k * length + u] * miss[k];
    }
    return moved;
  });
}
