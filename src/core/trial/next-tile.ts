import {
  addSpread,
  countOfUnknowns,
  crossed,
  gramOf,
  metricAt,
  quadraticForm,
  rootOf,
  traceOfProduct,
  traceOfQuotient,
  type WhiteMix,
  whiteMix,
} from '../clay/design-space.ts';
import { type ClayShare, sharesOfParts } from '../clay/mixture.ts';
import { mixInUnknowns, type Predictor } from '../clay/predict.ts';
import type { ColourWeights } from '../colour/weights.ts';
import { invalidInput } from '../errors.ts';
import { keyOfShares, type WholeParts } from '../mixes/whole-parts.ts';
import { looseRoot } from '../numeric/covariance-root.ts';
import { forward } from '../numeric/dense-cholesky.ts';
import type { Gloss } from '../optics/surface.ts';
import { type Reason, reasonOf, sentenceOf } from './next-tile-reason.ts';

export interface NextTileOptions {
  /** Light and observer that the mixes are judged under and the tiles read under. */
  readonly weights: ColourWeights;
  /** When absent, as in most of the model's readings. */
  readonly geometry?: Gloss;
  /** Most tiles to name. */
  readonly tiles: number;
  /** Tiles the user could bake. */
  readonly candidates: readonly WholeParts[];
  /** Mixes that should become more certain. */
  readonly targets: readonly (readonly ClayShare[])[];
  /**
   * Whether a target may be baked itself, which also shows its own departure from simple addition.
   * Useful for a palette; among all mixes, the one that was baked is lost in the mean.
   */
  readonly bakeTargets?: boolean;
  /** Standard deviation of the readings to come, CIELAB units an axis. */
  readonly spread: number;
  /** Relative standard deviation of each part as it will be measured out. */
  readonly partsSpread: number;
}

export interface NextTile {
  readonly parts: WholeParts;
  /** Mean ± of the targets without and with this tile, dE00; the tiles named before it are baked. */
  readonly before: number;
  readonly after: number;
  /** What this tile shows most about. */
  readonly reason: Reason;
  readonly sentence: string;
}

export interface TilesToBake {
  /** Mean ± of the targets without a further tile, dE00. */
  readonly expected: number;
  /**
   * Best first, each chosen with those before it baked; fewer where no more would be worth baking.
   */
  readonly tiles: readonly NextTile[];
}

/** A tile of fewer parts is chosen when it is this close to the best. */
const TIE = 0.01;
/** A tile that lowers the mean ± by less than this share is not named. */
const WORTH = 0.01;

/**
 * Which tiles to bake next, so that a set of mixes becomes as certain as possible.
 * Shape:   candidates in whole parts, targets in shares, both by index into the model's clays
 * Units:   dE00, as the root of the mean square of the uncertainty
 * Refuses: no target, a count that is not whole and positive, a spread that is not above 0, and
 *          everything mixInUnknowns refuses -> invalid-input
 * Method:  greedy choice by expected squared error (A-optimal): with the mixes linear in the
 *          unknowns near the optimum, a tile of slopes J and noise N lowers the covariance of a
 *          target by what its reading would explain, whatever it reads. Lowering the mean ± instead
 *          of its square came out 6 % worse over 48 studios
 * Limits:  the belief about a clay of one tile is not Gaussian. Choosing over 4 draws of the
 *          unknowns instead of at the optimum gained at most 5 %, within chance, for 4 times the
 *          work, and doubling the noise gained nothing: neither is done. A few tiles at a time with
 *          learning between them do more (bench/next-tile.ts). The ± here is without the widening
 *          of predictMix
 * Source:  [ChalonerVerdinelli1995]
 */
export function nextTiles(predictor: Predictor, options: NextTileOptions): TilesToBake {
  checkOptions(options);
  const { targets, candidates, size } = prepared(predictor, options);
  const learned: Float64Array[] = [];
  const tiles: NextTile[] = [];
  const expected = meanError(targets);
  let before = expected;
  while (tiles.length < options.tiles) {
    const targetCount = new Float64Array(size * size);
    for (const target of targets) {
      addSpread(targetCount, size, target.white, target.metric, 1);
    }
    shrink(targetCount, size, learned);
    const best = bestOf(candidates, targetCount, size);
    if (best === undefined) break;
    const shown = directions(best, learned, size);
    best.taken = true;
    learned.push(...shown);
    for (const mix of [...targets, ...candidates]) lower(mix.known, crossed(mix.white, shown));
    const after = meanError(targets);
    if (after > (1 - WORTH) * before) break;
    const weighed = shown.map((v) => {
      const sum = new Float64Array(size);
      for (const { white, metric } of targets) addPull(sum, white, metric, v);
      return sum;
    });
    const reason = reasonOf(predictor.model, best.parts, shown, weighed);
    const sentence = sentenceOf(predictor.model, best.parts, reason, before, after);
    tiles.push({ parts: best.parts, before, after, reason, sentence });
    before = after;
  }
  return { expected, tiles };
}

function checkOptions({ tiles, targets, spread, partsSpread }: NextTileOptions): void {
  if (targets.length === 0)
    throw invalidInput('There is no mix that a tile could make more certain.');
  if (!Number.isInteger(tiles) || tiles < 1) {
    throw invalidInput(`${tiles} tiles were asked for; it must be a whole number from 1.`);
  }
  if (!(spread > 0 && partsSpread >= 0)) {
    throw invalidInput('The spread of a reading must be above 0, that of parts 0 or more.');
  }
}

interface Target {
  readonly white: WhiteMix;
  /** Uncertainty of the mix through the unknowns; falls with every tile. */
  readonly known: Float64Array;
  /** CIEDE2000 close to its colour. */
  readonly metric: Float64Array;
  /** Square of the uncertainty that no tile can remove. */
  readonly own: number;
}

interface Candidate {
  readonly parts: WholeParts;
  readonly total: number;
  readonly white: WhiteMix;
  readonly known: Float64Array;
  readonly noise: Float64Array;
  taken: boolean;
}

function prepared(predictor: Predictor, options: NextTileOptions) {
  const { model } = predictor;
  const { weights, geometry, spread } = options;
  const simple: Predictor = { ...predictor, model: { ...model, combinationSpread: 0 } };
  /** Three more unknowns for each target that can be baked itself: its own departure. */
  const places = new Map<string, number>();
  let size = countOfUnknowns(model);
  if (options.bakeTargets === true) {
    for (const parts of options.targets) {
      const key = keyOfShares(parts);
      if (places.has(key)) continue;
      places.set(key, size);
      size += 3;
    }
  }
  const see = (parts: readonly ClayShare[]) => {
    const mixOptions = {
      weights,
      partsSpread: parts.length > 1 ? options.partsSpread : 0,
      ...(geometry === undefined ? {} : { geometry }),
    };
    const mix = mixInUnknowns(predictor, parts, mixOptions);
    const plain = whiteMix(model, mix);
    const place = places.get(keyOfShares(parts));
    if (place === undefined) return { lab: mix.lab, white: plain, own: mix.own };
    const { own } = mixInUnknowns(simple, parts, mixOptions);
    const departure = mix.own.map((v, i) => v - own[i]);
    return { lab: mix.lab, white: widened(plain, place, looseRoot(departure)), own };
  };
  const targets = options.targets.map((parts): Target => {
    const { lab, white, own } = see(parts);
    const metric = metricAt(lab);
    return { white, known: gramOf(white), metric, own: traceOfProduct(metric, own) };
  });
  const candidates = options.candidates.map((parts): Candidate => {
    const { white, own } = see(sharesOfParts(parts));
    const noise = Float64Array.from(own);
    for (let axis = 0; axis < 3; axis++) noise[axis * 4] += spread * spread;
    const total = parts.reduce((sum, part) => sum + part.parts, 0);
    return { parts, total, white, known: gramOf(white), noise, taken: false };
  });
  candidates.sort((one, other) => one.total - other.total);
  return { targets, candidates, size };
}

/** A mix that depends on three further unknowns too. */
function widened({ places, rows }: WhiteMix, place: number, root: Float64Array): WhiteMix {
  return {
    places: Int32Array.from([...places, place, place + 1, place + 2]),
    rows: rows.map((row, r) => Float64Array.from([...row, ...root.subarray(r * 3, r * 3 + 3)])),
  };
}

function errorOf({ metric, known, own }: Target): number {
  return Math.sqrt(Math.max(0, traceOfProduct(metric, known)) + own);
}

function meanError(targets: readonly Target[]): number {
  return targets.reduce((sum, target) => sum + errorOf(target), 0) / targets.length;
}

/** Candidates are ordered by number of parts, so that of equals the smallest is chosen. */
function bestOf(
  candidates: readonly Candidate[],
  targetCount: Float64Array,
  size: number,
): Candidate | undefined {
  const gains = candidates.map(({ taken, white, known, noise }) => {
    if (taken) return 0;
    const seen = known.map((v, i) => v + noise[i]);
    return traceOfQuotient(seen, quadraticForm(white, targetCount, size));
  });
  const most = gains.reduce((a, b) => Math.max(a, b), 0);
  if (!(most > 0)) return undefined;
  return candidates[gains.findIndex((gain) => gain >= (1 - TIE) * most)];
}

/** What a reading of a tile shows: M Y (N + Yᵀ M Y)^(-1/2), where M is what remains of the unit. */
function directions(
  { white, known, noise }: Candidate,
  learned: readonly Float64Array[],
  size: number,
): Float64Array[] {
  const flat = new Float64Array(3 * size);
  white.rows.forEach((row, r) => {
    const dense = flat.subarray(r * size, (r + 1) * size);
    white.places.forEach((place, i) => {
      dense[place] = row[i];
    });
    // All its components are computed before any is removed: what was learned is not orthogonal.
    const along = learned.map((v) => dot(v, dense));
    learned.forEach((v, k) => {
      for (let i = 0; i < size; i++) dense[i] -= along[k] * v[i];
    });
  });
  forward(rootOf(known.map((v, i) => v + noise[i])), flat, 3, size);
  return [0, 1, 2].map((r) => flat.slice(r * size, (r + 1) * size));
}

/** known -= X Xᵀ */
function lower(known: Float64Array, x: Float64Array): void {
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      for (let k = 0; k < 3; k++) known[i * 3 + j] -= x[i * 3 + k] * x[j * 3 + k];
    }
  }
}

/** sum += Y W Yᵀ v */
function addPull(
  sum: Float64Array,
  { places, rows }: WhiteMix,
  metric: Float64Array,
  v: Float64Array,
): void {
  const seen = rows.map((row) => row.reduce((total, value, i) => total + value * v[places[i]], 0));
  for (let a = 0; a < 3; a++) {
    let weight = 0;
    for (let b = 0; b < 3; b++) weight += metric[a * 3 + b] * seen[b];
    for (let i = 0; i < places.length; i++) sum[places[i]] += weight * rows[a][i];
  }
}

/**
 * B <- M B M with M = I - V Vᵀ, in place: B - V Rᵀ - R Vᵀ, R = B V - V (Vᵀ B V) / 2.
 */
function shrink(b: Float64Array, n: number, learned: readonly Float64Array[]): void {
  const turned = learned.map((v) => {
    const out = new Float64Array(n);
    for (let i = 0; i < n; i++) out[i] = dot(b.subarray(i * n, (i + 1) * n), v);
    return out;
  });
  const halves = turned.map((x) => {
    const out = Float64Array.from(x);
    for (const v of learned) {
      const half = dot(v, x) / 2;
      for (let i = 0; i < n; i++) out[i] -= half * v[i];
    }
    return out;
  });
  learned.forEach((v, k) => {
    const half = halves[k];
    for (let i = 0; i < n; i++) {
      const row = b.subarray(i * n, (i + 1) * n);
      const [left, right] = [v[i], half[i]];
      if (left === 0 && right === 0) continue;
      for (let j = 0; j < n; j++) row[j] -= left * half[j] + right * v[j];
    }
  });
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
