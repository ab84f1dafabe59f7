import { choleskyInPlace } from '../numeric/dense-cholesky.ts';
import type { Chance } from '../numeric/seeded-chance.ts';

/** What draws are wanted of: coordinates that are standard normal before any data. */
export interface DrawsOf {
  /** Coordinates in a row. */
  readonly width: number;
  /** Coordinates that the data speaks of; the others are drawn as before any data. */
  readonly live: readonly number[];
  /** Log likelihood of the row that begins at a place. */
  readonly logAt: (z: Float64Array, from: number) => number;
}

export interface DrawSettings {
  readonly count: number;
  /** Moves of every draw after each step. */
  readonly moves: number;
  readonly chance: Chance;
}

/** A step may leave this share of the draws effective. */
const LEFT_EFFECTIVE = 0.5;
const MOST_STEPS = 60;
/** Share of moves that should be accepted; shorter moves are accepted more often. */
const ACCEPTED = 0.35;
const LONGEST = 0.95;
const SHORTEST = 0.05;
/** The normal law that guides the moves is this much wider than the draws, so that their tails are reached. */
const WIDER = 1.15;

/**
 * Draws given data, all of equal weight, with the log of how well the data is explained over the prior.
 * Draws start from the prior; the data counts little by little, and after each step draws are resampled and
 * moved. A move leaves the normal law of all draws unchanged (it turns towards a new draw from this law),
 * and is accepted by how the wanted law differs from the normal one.
 * Holds:   the same chance gives the same draws
 * Source:  tempered sequential Monte Carlo [DelMoral2006]; moves that keep a normal law [Neal1998]
 */
export function temperedDraws(
  { width, live, logAt }: DrawsOf,
  { count, moves, chance }: DrawSettings,
): { readonly z: Float64Array; readonly evidence: number } {
  const state: State = {
    width,
    live,
    logAt,
    chance,
    z: Float64Array.from({ length: count * width }, chance.normal),
    fits: new Float64Array(count),
  };
  for (let i = 0; i < count; i++) state.fits[i] = logAt(state.z, i * width);
  const weights = new Float64Array(count);
  let [taken, evidence, length] = [live.length === 0 ? 1 : 0, 0, LONGEST];
  for (let step = 0; taken < 1 && step < MOST_STEPS; step++) {
    const left = 1 - taken;
    const more = step === MOST_STEPS - 1 ? left : stepFor(state.fits, left, weights);
    evidence += weigh(state.fits, more, weights);
    taken = Math.min(1, taken + more);
    resample(state, weights);
    const guide = guideOf(state);
    const rounds = taken === 1 ? 2 * moves : moves;
    for (let round = 0; round < rounds; round++) {
      const accepted = move(state, guide, taken, length);
      length *= Math.exp(0.7 * (accepted - ACCEPTED));
      length = Math.min(LONGEST, Math.max(SHORTEST, length));
    }
  }
  drawOthers(state);
  return { z: state.z, evidence };
}

interface State extends DrawsOf {
  readonly chance: Chance;
  z: Float64Array;
  fits: Float64Array;
}

/** Fills the weights if so much more of the data counts; the log of their mean. */
function weigh(fits: Float64Array, more: number, weights: Float64Array): number {
  let top = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < fits.length; i++) if (fits[i] > top) top = fits[i];
  let sum = 0;
  for (let i = 0; i < fits.length; i++) {
    weights[i] = Math.exp(more * (fits[i] - top));
    sum += weights[i];
  }
  for (let i = 0; i < fits.length; i++) weights[i] /= sum;
  return more * top + Math.log(sum / fits.length);
}

/** How much more of the data can count at once. */
function stepFor(fits: Float64Array, most: number, weights: Float64Array): number {
  const tooFar = (more: number) => {
    weigh(fits, more, weights);
    let squares = 0;
    for (let i = 0; i < weights.length; i++) squares += weights[i] * weights[i];
    return 1 / squares < LEFT_EFFECTIVE * weights.length;
  };
  if (!tooFar(most)) return most;
  let [low, high] = [0, most];
  for (let i = 0; i < 14; i++) {
    const middle = (low + high) / 2;
    if (tooFar(middle)) high = middle;
    else low = middle;
  }
  return Math.max(low, 1e-4);
}

/** Takes rows by their weights, evenly spaced from one random start. */
function resample(state: State, weights: Float64Array): void {
  const { width, chance } = state;
  const count = weights.length;
  const z = new Float64Array(state.z.length);
  const fits = new Float64Array(count);
  let [at, sum] = [0, weights[0]];
  const start = chance.uniform();
  for (let i = 0; i < count; i++) {
    const wanted = (i + start) / count;
    while (sum < wanted && at < count - 1) sum += weights[++at];
    z.set(state.z.subarray(at * width, (at + 1) * width), i * width);
    fits[i] = state.fits[at];
  }
  state.z = z;
  state.fits = fits;
}

/** The normal law of the draws over the live coordinates. */
interface Guide {
  readonly mean: Float64Array;
  /** Lower root of the covariance. */
  readonly root: Float64Array;
}

function guideOf({ z, width, live, fits }: State): Guide {
  const [count, n] = [fits.length, live.length];
  const mean = new Float64Array(n);
  const root = new Float64Array(n * n);
  const off = new Float64Array(n);
  for (let i = 0; i < count; i++) {
    for (let k = 0; k < n; k++) mean[k] += z[i * width + live[k]] / count;
  }
  for (let i = 0; i < count; i++) {
    for (let r = 0; r < n; r++) {
      off[r] = z[i * width + live[r]] - mean[r];
      for (let c = 0; c <= r; c++) root[r * n + c] += off[r] * off[c];
    }
  }
  for (let r = 0; r < n; r++) {
    for (let c = 0; c <= r; c++) {
      root[r * n + c] *= (WIDER * WIDER) / count;
      root[c * n + r] = root[r * n + c];
    }
    root[r * n + r] += 1e-6;
  }
  choleskyInPlace(root, n);
  return { mean, root };
}

/** Moves every draw once, shorter or longer (0-1); the share that was accepted. */
function move(state: State, { mean, root }: Guide, taken: number, length: number): number {
  const { z, fits, width, live, logAt, chance } = state;
  const n = live.length;
  const rest = Math.sqrt(1 - length * length);
  const place = new Float64Array(n);
  const next = new Float64Array(width);
  let accepted = 0;
  for (let i = 0; i < fits.length; i++) {
    const from = i * width;
    // How much likelier the row and the next are than by the normal law, in halves.
    let gain = 0;
    next.set(z.subarray(from, from + width));
    for (let r = 0; r < n; r++) {
      let sum = z[from + live[r]] - mean[r];
      for (let c = 0; c < r; c++) sum -= root[r * n + c] * place[c];
      place[r] = sum / root[r * n + r];
      gain += z[from + live[r]] ** 2 - place[r] ** 2;
    }
    for (let r = 0; r < n; r += 2) {
      // Two normal values at a time. Source: [BoxMuller1958]
      const size = length * Math.sqrt(-2 * Math.log(1 - chance.uniform()));
      const turn = 2 * Math.PI * chance.uniform();
      place[r] = rest * place[r] + size * Math.cos(turn);
      if (r + 1 < n) place[r + 1] = rest * place[r + 1] + size * Math.sin(turn);
    }
    for (let r = 0; r < n; r++) gain += place[r] * place[r];
    for (let r = 0; r < n; r++) {
      let sum = mean[r];
      for (let c = 0; c <= r; c++) sum += root[r * n + c] * place[c];
      next[live[r]] = sum;
      gain -= sum * sum;
    }
    const nextFit = logAt(next, 0);
    const better = gain / 2 + taken * (nextFit - fits[i]);
    if (better < 0 && chance.uniform() >= Math.exp(better)) continue;
    z.set(next, from);
    fits[i] = nextFit;
    accepted++;
  }
  return accepted / fits.length;
}

/** What the data does not speak of is drawn once more, so that copies of a row differ in it. */
function drawOthers({ z, width, live, chance }: State): void {
  const others = Array.from({ length: width }, (_, k) => k).filter((k) => !live.includes(k));
  for (let from = 0; from < z.length; from += width) {
    for (const k of others) z[from + k] = chance.normal();
  }
}
