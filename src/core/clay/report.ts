import { deltaE2000 } from '../colour/difference.ts';
import { BANDS } from '../colour/grid.ts';
import { labFromXyz, xyzFromSpectrum } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { forward, solveInPlace } from '../numeric/dense-cholesky.ts';
import { type BatchDrift, batchDrifts } from './batch-drift.ts';
import type { ClayClass } from './clay-class.ts';
import { modelFromFit } from './clay-model.ts';
import type { Fit, FittedTile } from './fit-result.ts';
import { addPosterior, openModel, predictMix } from './predict.ts';

/** One tile predicted by all the others. */
export interface LeftOutTile {
  readonly tile: string;
  /** CIEDE2000 between the colour that the other tiles predict and the reading. */
  readonly dE00: number;
  readonly lab: Lab;
  readonly read: Lab;
  /** Size of error that the ± of the prediction and of the reading allow, CIELAB units. */
  readonly expected: number;
  /** Contains pearl, metallic, glittering or fluorescent clay, so its error has other causes. */
  readonly special: boolean;
}

export interface OutlyingTile {
  readonly tile: string;
  readonly weight: number;
  readonly dE00: number;
  readonly sentence: string;
}

export interface LearnReport {
  readonly iterations: number;
  readonly converged: boolean;
  readonly lastMove: number;
  readonly leaveOneOut: readonly LeftOutTile[];
  readonly meanDE00: number;
  /**
   * At least half of the tiles are predicted this closely; of an even number, the larger of the two
   * middle errors.
   */
  readonly medianDE00: number;
  readonly worstDE00: number;
  readonly outlying: readonly OutlyingTile[];
  /** Clays that appear to have changed between photos. */
  readonly drifts: readonly BatchDrift[];
  readonly groups: readonly { clays: string[]; reference: string; white: boolean }[];
  readonly clays: readonly ReportedClay[];
}

export interface ReportedClay {
  readonly name: string;
  readonly clayClass: ClayClass;
  readonly tiles: number;
  readonly ownTiles: number;
  /**
   * Root mean square ± of this clay alone and at 1:3 with its group's reference (for a reference:
   * with the one that sets the unit of scale), CIELAB units.
   */
  readonly expectedDE: number;
}

/** A tile is outlying when it counts for less than this share of an ordinary one. */
const OUTLYING_WEIGHT = 0.5;

/**
 * What to check in a fit before trusting it: each tile predicted from the others, tiles that
 * disagree with the others (they count for less, and are named), groups without a common scale.
 * Method:  leave-one-out by removing the tile's own information from the normal equations at the
 *          optimum, exact for a linear model; a refit without a tile of a mix agrees to about a
 *          tenth of it. The only tile of a clay also set its type and family, and these are not
 *          removed, so the error of such a tile comes out too small: 0.9 for 6.5 in a virtual
 *          studio's black
 * Source:  [CookWeisberg1982]
 */
export function learnReport(fit: Fit): LearnReport {
  const leaveOneOut = fit.tiles.map((tile) => leftOut(fit, tile));
  const errors = leaveOneOut.map((tile) => tile.dE00).sort((a, b) => a - b);
  const outlying = fit.tiles.flatMap((tile, i): OutlyingTile[] => {
    if (tile.weight >= OUTLYING_WEIGHT) return [];
    const { dE00, lab, read } = leaveOneOut[i];
    return [
      {
        tile: tile.tile.name,
        weight: tile.weight,
        dE00,
        sentence: `${tile.tile.name} reads ${side(lab, read)} than its recipe and the other tiles predict; check its recipe, its thickness or its reading.`,
      },
    ];
  });
  const { set } = fit;
  return {
    iterations: fit.iterations,
    converged: fit.converged,
    lastMove: fit.lastMove,
    leaveOneOut,
    meanDE00: errors.reduce((sum, e) => sum + e, 0) / errors.length,
    medianDE00: errors[Math.floor(errors.length / 2)],
    worstDE00: errors[errors.length - 1],
    outlying,
    drifts: batchDrifts(fit),
    groups: set.reference.map((reference, g) => ({
      clays: set.clays.filter((_, i) => set.group[i] === g),
      reference: set.clays[reference],
      white: set.classes[reference] === 'white',
    })),
    clays: reportedClays(fit),
  };
}

/** What the other tiles predict of one tile. */
function leftOut(fit: Fit, fitted: FittedTile): LeftOutTile {
  const { tile, slopes, residual, weight } = fitted;
  const d = residual.length;
  const known = new Float64Array(d * d);
  addPosterior(known, fit, slopes.blocks);
  // With noise N and J P⁻¹ Jᵀ = A at the optimum, the residual without the tile is N (N - A)⁻¹ r.
  const noise = slopes.noise.map((v) => v / weight);
  const rest = noise.map((v, i) => v - known[i]);
  for (let r = 0; r < d; r++) rest[r * d + r] += 1e-9 * noise[r * d + r];
  const solved = Float64Array.from(residual);
  solveInPlace(rest, solved, d);
  const without = new Float64Array(d);
  for (let r = 0; r < d; r++) {
    for (let c = 0; c < d; c++) without[r] += noise[r * d + c] * solved[c];
  }
  const predicted = tile.observed.map((value, r) => value - without[r]);
  const lab = labOfObserved(fitted, predicted);
  const read = labOfObserved(fitted, tile.observed);
  return {
    tile: tile.name,
    dE00: deltaE2000(lab, read),
    lab,
    read,
    special: tile.effects.length > 0,
    expected: expectedSize(fitted, noise, rest),
  };
}

/**
 * Root of the trace of the covariance of (predicted - read) in CIELAB: N (N - A)⁻¹ N, in terms of
 * the tile's colour.
 */
function expectedSize(
  { tile, slopes }: FittedTile,
  noise: Float64Array,
  restRoot: Float64Array,
): number {
  const d = slopes.predicted.length;
  const scaled = Float64Array.from(noise);
  forward(restRoot, scaled, d, d);
  // scaledᵀ scaled = N (N - A)⁻¹ N
  const rows = labRows(tile, slopes.predicted);
  let sum = 0;
  for (let axis = 0; axis < 3; axis++) {
    const through = new Float64Array(d);
    for (let k = 0; k < d; k++) {
      for (let r = 0; r < d; r++) through[k] += scaled[k * d + r] * rows[axis * d + r];
    }
    for (const v of through) sum += v * v;
  }
  return Math.sqrt(sum);
}

/** Slopes of Lab with the observed values, 3 x d by rows. */
function labRows(tile: FittedTile['tile'], at: Float64Array): Float64Array {
  const d = at.length;
  const rows = new Float64Array(3 * d);
  if (tile.observable.kind === 'lab') {
    for (let axis = 0; axis < 3; axis++) rows[axis * 3 + axis] = 1;
    return rows;
  }
  const step = 1e-4;
  const base = labOfBands(tile.observable.bands, at);
  for (let r = 0; r < d; r++) {
    const moved = Float64Array.from(at);
    moved[r] += step;
    const lab = labOfBands(tile.observable.bands, moved);
    for (let axis = 0; axis < 3; axis++) rows[axis * d + r] = (lab[axis] - base[axis]) / step;
  }
  return rows;
}

function labOfObserved({ tile }: FittedTile, values: Float64Array): Lab {
  if (tile.observable.kind === 'lab') return [values[0], values[1], values[2]];
  return labOfBands(tile.observable.bands, values);
}

/**
 * D50, 2 degree colour of some bands of a reflectance, used only to report errors. Bands that were
 * not measured are interpolated linearly and stay level beyond the ends.
 */
function labOfBands(bands: readonly number[], values: Float64Array): Lab {
  const spectrum = new Float64Array(BANDS);
  let next = 0;
  for (let band = 0; band < BANDS; band++) {
    while (next < bands.length && bands[next] < band) next++;
    const right = Math.min(next, bands.length - 1);
    const left = bands[right] > band ? Math.max(0, right - 1) : right;
    const span = bands[right] - bands[left];
    const along = span === 0 ? 0 : (band - bands[left]) / span;
    spectrum[band] =
      values[left] + Math.min(1, Math.max(0, along)) * (values[right] - values[left]);
  }
  const weights = colourWeights('D50', 2);
  return labFromXyz(xyzFromSpectrum(spectrum, weights), weights.white);
}

function reportedClays(fit: Fit): ReportedClay[] {
  const model = modelFromFit(fit);
  const predictor = openModel(model);
  const weights = colourWeights('D50', 2);
  const variance = (parts: { clay: number; share: number }[]) => {
    const { covariance } = predictMix(predictor, parts, { weights, partsSpread: 0 });
    return covariance[0] + covariance[4] + covariance[8];
  };
  return model.clays.map((clay, i) => {
    // A clay that no tile ties to another group is its own reference, and mixes show it.
    const own = fit.set.reference[clay.group];
    const reference = own === i ? fit.set.reference[0] : own;
    const withReference = (share: number) =>
      variance([
        { clay: i, share },
        { clay: reference, share: 1 - share },
      ]);
    // A concentrate is judged at the shares it is used in; it never occurs alone.
    const sizes =
      clay.clayClass === 'concentrate' && reference !== i
        ? [withReference(usualShare(fit, i))]
        : [variance([{ clay: i, share: 1 }]), ...(reference === i ? [] : [withReference(1 / 4)])];
    return {
      name: clay.name,
      clayClass: clay.clayClass,
      tiles: clay.tiles,
      ownTiles: clay.ownTiles,
      expectedDE: Math.sqrt(sizes.reduce((sum, v) => sum + v, 0) / sizes.length),
    };
  });
}

/** Geometric mean of the shares a clay has in its tiles. */
function usualShare(fit: Fit, clay: number): number {
  const logs = fit.set.tiles.flatMap(({ parts }) =>
    parts.filter((part) => part.clay === clay).map((part) => Math.log(part.share)),
  );
  return Math.exp(logs.reduce((sum, v) => sum + v, 0) / logs.length);
}

/** How a reading differs from the prediction: "darker and duller". */
function side(predicted: Lab, read: Lab): string {
  const words: string[] = [];
  const dL = read[0] - predicted[0];
  const dC = Math.hypot(read[1], read[2]) - Math.hypot(predicted[1], predicted[2]);
  if (Math.abs(dL) >= 1) words.push(dL > 0 ? 'lighter' : 'darker');
  if (Math.abs(dC) >= 1) words.push(dC > 0 ? 'brighter' : 'duller');
  return words.length === 0 ? 'of another hue' : words.join(' and ');
}
