import { BANDS } from '../colour/grid.ts';
import { labInto, labJacobian, xyzInto } from '../colour/spaces.ts';
import type { ColourWeights } from '../colour/weights.ts';
import type { Surface } from '../optics/surface.ts';
import type { ClayClass } from './clay-class.ts';
import { EFFECT_WIDTH, type Effect } from './effect-offset.ts';
import type { ClayShare, Film, MixSlopes } from './mixture.ts';
import { spreadOfPart } from './parts-spread.ts';
import { ABSORPTION_LATENTS, LATENTS, type Prior, STRENGTH_LATENT } from './prior.ts';

/**
 * Unknowns that all tiles share, in the order of their block: exponent of dilution, ln scattering per mm,
 * exponent of shares, gloss share of readings that do not state one (less a half).
 */
export const SHARED = 4;

/** What a reading measures of a reflectance: a Lab under a light, or some bands of it. */
export type Observable =
  | { readonly kind: 'lab'; readonly weights: ColourWeights }
  | { readonly kind: 'bands'; readonly bands: readonly number[] };

/** A tile ready for the fit: indices instead of names, numbers instead of choices. */
export interface PreparedTile {
  readonly name: string;
  readonly parts: readonly ClayShare[];
  readonly observable: Observable;
  /** The reading: 3 values, or as many as bands. */
  readonly observed: Float64Array;
  readonly spread: number;
  /** Where `glossLearned`, its gloss share is a first guess that the fit replaces. */
  readonly surface: Surface;
  /** The reading does not state whether it holds the gloss. */
  readonly glossLearned: boolean;
  readonly film?: Film;
  readonly partsSpread: number;
  /** Block of the photo's shared error, -1 without. */
  readonly photoBlock: number;
  /** Special clays in the tile: block of the departure (3 unknowns) and share. */
  readonly effects: readonly {
    readonly effect: Effect;
    readonly block: number;
    readonly share: number;
  }[];
  /** Block of the departure of this combination of clays, -1 for a clay alone. */
  readonly combinationBlock: number;
  /** The part whose departure is fixed at zero: the largest. */
  readonly mainPart: number;
}

/** Slopes of the observed values with the coefficients of each block of unknowns, by rows. */
export interface TileSlopes {
  readonly predicted: Float64Array;
  readonly blocks: ReadonlyMap<number, Float64Array>;
  /** Covariance of the reading around the prediction; dimension x dimension, by rows. */
  readonly noise: Float64Array;
  /** By part: slope of the observed values with ln amount. */
  readonly amounts: readonly Float64Array[];
}

/**
 * A spectral reading's own noise per band for a spread of 1 CIELAB unit: a floor and a share of the
 * value. At the default spread of 0.2 that is 0.0008 + 0.3 %, a bench instrument on a hand-made tile.
 * Common practice, no source.
 */
const BAND_NOISE = { floor: 0.004, share: 0.016 };

export interface Unknowns {
  readonly sharedBlock: number;
  /** How many of the shared unknowns there are; models of older files know the first two. */
  readonly sharedSize: number;
}

/**
 * Turns slopes of a reflectance into slopes of what a tile's reading observes.
 * Shape:   d observed values; blocks: clay -> d x 24, shared -> d x 4, photo -> d x 3,
 *          combination -> d x (parts - 1)
 */
export function tileSlopes(
  tile: PreparedTile,
  mix: MixSlopes,
  prior: Prior,
  classes: readonly ClayClass[],
  pinnedScattering: readonly boolean[],
  unknowns: Unknowns,
  extraNoise: number,
): TileSlopes {
  const observe = observer(tile.observable, mix.reflectance);
  const d = observe.dimension;
  const blocks = new Map<number, Float64Array>();
  const noise = new Float64Array(d * d);
  for (let r = 0; r < d; r++) {
    const own =
      tile.observable.kind === 'lab'
        ? tile.spread
        : tile.spread * (BAND_NOISE.floor + BAND_NOISE.share * observe.predicted[r]);
    const extra =
      tile.observable.kind === 'lab'
        ? extraNoise
        : extraNoise * (BAND_NOISE.floor + BAND_NOISE.share * observe.predicted[r]);
    noise[r * d + r] = own * own + extra * extra;
  }
  const amounts = mix.lnAmount.map((slope) => observe.sum(slope));
  tile.parts.forEach(({ clay, share }, i) => {
    const k = observe.rows(mix.lnAbsorption[i]);
    const s = observe.rows(mix.lnScattering[i]);
    const jacobian = new Float64Array(d * LATENTS);
    const clayClass = classes[clay];
    addShapes(jacobian, k, prior.absorption.shapes, d, 0);
    if (!pinnedScattering[clay]) {
      addShapes(jacobian, s, prior.scattering.shapes, d, ABSORPTION_LATENTS);
      for (let r = 0; r < d; r++) {
        let sum = 0;
        for (let c = 0; c < observe.columns; c++) {
          sum += k[r * observe.columns + c];
          if (clayClass !== 'concentrate') sum += s[r * observe.columns + c];
        }
        jacobian[r * LATENTS + STRENGTH_LATENT] = sum * prior.means[clayClass].strengthSpread;
      }
      addResidual(noise, s, prior.scattering.residual, observe, d);
    }
    addResidual(noise, k, prior.absorption.residual, observe, d);
    blocks.set(clay, jacobian);
    if (tile.parts.length > 1)
      addOuter(noise, amounts[i], spreadOfPart(tile.partsSpread, share), d);
  });
  const { sharedSize } = unknowns;
  const shared = new Float64Array(d * sharedSize);
  const columns = [
    observe.sum(mix.dilution),
    observe.sum(mix.lnScatteringPerMm),
    observe.sum(mix.shareExponent),
    // The whole reading rises with the gloss, at every band alike.
    tile.glossLearned ? observe.sum(new Float64Array(BANDS).fill(tile.surface.outer)) : undefined,
  ];
  columns.slice(0, sharedSize).forEach((column, c) => {
    if (column !== undefined) for (let r = 0; r < d; r++) shared[r * sharedSize + c] = column[r];
  });
  blocks.set(unknowns.sharedBlock, shared);
  if (tile.combinationBlock >= 0) {
    const columns = tile.parts.length - 1;
    const departure = new Float64Array(d * columns);
    let column = 0;
    tile.parts.forEach((_, i) => {
      if (i === tile.mainPart) return;
      for (let r = 0; r < d; r++) departure[r * columns + column] = amounts[i][r];
      column++;
    });
    blocks.set(tile.combinationBlock, departure);
  }
  if (tile.photoBlock >= 0 && tile.observable.kind === 'lab') {
    blocks.set(tile.photoBlock, Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1));
  }
  for (const { effect, block, share } of tile.effects) {
    blocks.set(block, Float64Array.of(share, 0, 0, 0, share, 0, 0, 0, share));
    for (let r = 0; r < d; r++) noise[r * d + r] += (share * EFFECT_WIDTH[effect].scatter) ** 2;
  }
  return { predicted: observe.predicted, blocks, noise, amounts };

  function addShapes(
    target: Float64Array,
    slopes: Float64Array,
    shapes: readonly Float64Array[],
    rows: number,
    from: number,
  ): void {
    for (let j = 0; j < shapes.length; j++) {
      const shape = shapes[j];
      for (let r = 0; r < rows; r++) {
        let sum = 0;
        if (observe.columns === 1) sum = slopes[r] * shape[observe.bandOf(r)];
        else for (let c = 0; c < BANDS; c++) sum += slopes[r * BANDS + c] * shape[c];
        target[r * LATENTS + from + j] = sum;
      }
    }
  }
}

/** Turns slopes by band into slopes of the observed values. */
interface Observer {
  readonly dimension: number;
  /** Columns of `rows`: all bands for a Lab, one for a band. */
  readonly columns: number;
  readonly predicted: Float64Array;
  /** By rows: contribution of each band to each observed value. */
  rows(slopes: Float64Array): Float64Array;
  sum(slopes: Float64Array): Float64Array;
  /** Of a reading by bands: the band of a row. */
  bandOf(row: number): number;
}

/** What an observable gives at one reflectance, with its slopes there. */
export function observer(observable: Observable, reflectance: Float64Array): Observer {
  if (observable.kind === 'bands') {
    const { bands } = observable;
    const pick = (values: Float64Array) => Float64Array.from(bands, (band) => values[band]);
    return {
      dimension: bands.length,
      columns: 1,
      predicted: pick(reflectance),
      rows: pick,
      sum: pick,
      bandOf: (row) => bands[row],
    };
  }
  const { weights } = observable;
  const xyz = new Float64Array(3);
  xyzInto(xyz, reflectance, weights);
  const predicted = new Float64Array(3);
  labInto(predicted, xyz[0], xyz[1], xyz[2], weights.white);
  const j = labJacobian([xyz[0], xyz[1], xyz[2]], weights.white);
  const gradient = new Float64Array(3 * BANDS);
  for (let r = 0; r < 3; r++) {
    for (let band = 0; band < BANDS; band++) {
      gradient[r * BANDS + band] =
        j[r * 3] * weights.x[band] +
        j[r * 3 + 1] * weights.y[band] +
        j[r * 3 + 2] * weights.z[band];
    }
  }
  return {
    dimension: 3,
    columns: BANDS,
    predicted,
    rows(slopes) {
      const out = new Float64Array(3 * BANDS);
      for (let i = 0; i < out.length; i++) out[i] = gradient[i] * slopes[i % BANDS];
      return out;
    },
    sum(slopes) {
      const out = new Float64Array(3);
      for (let i = 0; i < gradient.length; i++)
        out[(i / BANDS) | 0] += gradient[i] * slopes[i % BANDS];
      return out;
    },
    bandOf: (row) => row,
  };
}

/** Adds to the noise what the shapes do not explain of a clay, independent from band to band. */
function addResidual(
  noise: Float64Array,
  slopes: Float64Array,
  variance: Float64Array,
  observe: Observer,
  d: number,
): void {
  if (observe.columns === 1) {
    for (let r = 0; r < d; r++) noise[r * d + r] += slopes[r] ** 2 * variance[observe.bandOf(r)];
    return;
  }
  for (let a = 0; a < d; a++) {
    for (let b = 0; b <= a; b++) {
      let sum = 0;
      for (let band = 0; band < BANDS; band++) {
        sum += slopes[a * BANDS + band] * slopes[b * BANDS + band] * variance[band];
      }
      noise[a * d + b] += sum;
      if (a !== b) noise[b * d + a] += sum;
    }
  }
}

/** target += spread² v vᵀ, d x d by rows: the share of one uncertain amount in a covariance. */
export function addOuter(
  target: Float64Array,
  vector: Float64Array,
  spread: number,
  d: number,
): void {
  for (let a = 0; a < d; a++) {
    for (let b = 0; b < d; b++) target[a * d + b] += vector[a] * vector[b] * spread * spread;
  }
}
