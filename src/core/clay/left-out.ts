import { deltaE2000 } from '../colour/difference.ts';
import { BANDS } from '../colour/grid.ts';
import { labFromXyz, xyzFromSpectrum } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { choleskyInPlace, forward, solveInPlace } from '../numeric/dense-cholesky.ts';
import type { Fit, FittedTile } from './fit-result.ts';
import { addPosterior } from './posterior.ts';

export const TILE_ROLES = ['mix', 'plain', 'only plain'] as const;
export type TileRole = (typeof TILE_ROLES)[number];

/** One tile predicted by all the others. */
export interface LeftOutTile {
  readonly tile: string;
  /** CIEDE2000 between the colour that the other tiles predict and the reading. */
  readonly dE00: number;
  readonly lab: Lab;
  readonly read: Lab;
  /** Size of error that the ± of the prediction and of the reading allow, CIELAB units. */
  readonly expected: number;
  /** What it is: a mix, or a clay alone; the only plain tile of a clay is hardly known to the others. */
  readonly role: TileRole;
  /** Contains pearl, metallic, glittering or fluorescent clay, so its error has other causes. */
  readonly special: boolean;
  /**
   * Squared length of the error by its covariance, a third of it: 1 on average, and 0.789 for half of
   * the tiles, where the ± is true.
   */
  readonly standardised: number;
  /** Natural logarithm of the determinant of that covariance, CIELAB units to the sixth. */
  readonly lnSize: number;
}

/** Each tile predicted from all the others, without fitting again; see `learnReport` for the method. */
export function leftOutTiles(fit: Fit): LeftOutTile[] {
  return fit.tiles.map((tile) => leftOut(fit, tile));
}

/** Quantiles of a third of a chi-squared variable of three degrees. */
const USUAL_MISSES = [
  [0.5, 0.789],
  [0.75, 1.369],
  [0.9, 2.084],
] as const;

/**
 * How many times larger than stated the tiles' own misses are, 1 or more: what a theory that does not
 * fit these clays, or tiles that are not what they are called, add to every prediction. The larger half
 * counts too, because a theory may fit tints and fail in strong mixes. It never narrows: tiles that fit
 * well by luck are no reason to be surer.
 * Shape: errors of tiles predicted from the others -> factor on every standard deviation
 */
export function missFactorOf(leftOut: readonly Pick<LeftOutTile, 'standardised'>[]): number {
  const sizes = leftOut.map(({ standardised }) => standardised).sort((a, b) => a - b);
  if (sizes.length === 0) return 1;
  const factors = USUAL_MISSES.map(([share, usual]) => quantileOf(sizes, share) / usual);
  return Math.max(1, Math.sqrt(Math.max(...factors)));
}

/**
 * The same by the better half of the misses alone, which a few wrong tiles do not move.
 * Shape: as {@link missFactorOf}
 */
export function usualMissFactorOf(leftOut: readonly Pick<LeftOutTile, 'standardised'>[]): number {
  const [[half, usual]] = USUAL_MISSES;
  const sizes = leftOut.map(({ standardised }) => standardised).sort((a, b) => a - b);
  return sizes.length === 0 ? 1 : Math.max(1, Math.sqrt(quantileOf(sizes, half) / usual));
}

/** Between the two values around it where it falls between two. */
function quantileOf(sorted: readonly number[], share: number): number {
  const at = share * (sorted.length - 1);
  const low = Math.floor(at);
  const high = Math.min(sorted.length - 1, low + 1);
  return sorted[low] + (at - low) * (sorted[high] - sorted[low]);
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
    role: roleOf(fit, tile),
    special: tile.effects.length > 0,
    ...sizesOf(fitted, noise, rest, without),
  };
}

/**
 * `expected`: root of the trace of the covariance of (predicted - read) in CIELAB, N (N - A)⁻¹ N, seen
 * through the tile's colour. `standardised`: the error by the covariance it should have if the tile's
 * noise is as stated, whatever the fit's weight made of it.
 */
function sizesOf(
  { tile, slopes }: FittedTile,
  noise: Float64Array,
  restRoot: Float64Array,
  without: Float64Array,
): Pick<LeftOutTile, 'expected' | 'standardised' | 'lnSize'> {
  const d = slopes.predicted.length;
  const scaled = Float64Array.from(noise);
  forward(restRoot, scaled, d, d);
  // scaledᵀ scaled = N (N - A)⁻¹ N
  const rows = labRows(tile, slopes.predicted);
  const through = new Float64Array(d * 3);
  const miss = new Float64Array(3);
  for (let axis = 0; axis < 3; axis++) {
    for (let r = 0; r < d; r++) {
      const slope = rows[axis * d + r];
      miss[axis] += slope * without[r];
      for (let k = 0; k < d; k++) through[k * 3 + axis] += scaled[k * d + r] * slope;
    }
  }
  const covariance = new Float64Array(9);
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b < 3; b++) {
      let sum = 0;
      for (let k = 0; k < d; k++) sum += through[k * 3 + a] * through[k * 3 + b];
      covariance[a * 3 + b] = sum;
    }
  }
  const expected = Math.sqrt(covariance[0] + covariance[4] + covariance[8]);
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b < 3; b++) {
      for (let r = 0; r < d; r++) {
        for (let c = 0; c < d; c++) {
          const extra = noise[r * d + c] - slopes.noise[r * d + c];
          covariance[a * 3 + b] -= rows[a * d + r] * extra * rows[b * d + c];
        }
      }
    }
    covariance[a * 3 + a] += 1e-9;
  }
  choleskyInPlace(covariance, 3);
  forward(covariance, miss, 3, 1);
  return {
    expected,
    standardised: (miss[0] ** 2 + miss[1] ** 2 + miss[2] ** 2) / 3,
    lnSize: 2 * Math.log(covariance[0] * covariance[4] * covariance[8]),
  };
}

/** Slopes of Lab with the observed values, 3 x d by rows. */
export function labRows(tile: FittedTile['tile'], at: Float64Array): Float64Array {
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

function roleOf({ set }: Fit, { parts }: FittedTile['tile']): TileRole {
  if (parts.length > 1) return 'mix';
  const own = set.tiles.filter(
    (one) => one.parts.length === 1 && one.parts[0].clay === parts[0].clay,
  );
  return own.length > 1 ? 'plain' : 'only plain';
}

/** D50, 2 degree colour of values that a tile's reading observes; a Lab stays as it is. */
export function labOfObserved({ tile }: Pick<FittedTile, 'tile'>, values: Float64Array): Lab {
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
