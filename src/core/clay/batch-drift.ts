import { choleskyInPlace, forward } from '../numeric/dense-cholesky.ts';
import type { Fit, FittedTile } from './fit-result.ts';

/** A clay that appears stronger or weaker in the tiles of one photo than in all its others. */
export interface BatchDrift {
  readonly clay: string;
  readonly photo: string;
  /** Factor on its strength in that photo against the others: 0.8 is a fifth weaker. */
  readonly factor: number;
  /** Standard deviations from no difference. */
  readonly sureness: number;
  readonly sentence: string;
}

/**
 * A drift is reported from this many standard deviations on; of 300 contrasts without a drift,
 * about one gets there.
 */
const LEAST_SURENESS = 3;
/** Hands and scales alone cause drifts smaller than this in ln amount. */
const LEAST_DRIFT = 0.08;
/**
 * Tiles of mixes needed on either side of a contrast; a single one is an outlying tile and not a
 * batch.
 */
const LEAST_TILES = 2;

/**
 * Clays that changed between batches: tiles read in one photo were mostly baked together, from one
 * batch of clay.
 * Shape:   a fit -> none or some drifts, the most certain first
 * Method:  for each clay and photo, the factor on its amount that fits the residuals of the photo's
 *          mixes, less that of its other mixes, each by least squares under the tiles' noise; the
 *          most certain drift is removed from the residuals before the next is looked for
 * Holds:   the fit is between the two batches, so a true drift shows on both sides with opposite
 *          sign; for a clay read in one photo only, or in no mix, no drift can be found
 */
export function batchDrifts(fit: Fit): BatchDrift[] {
  const found: BatchDrift[] = [];
  let residuals: readonly Float64Array[] = fit.tiles.map(({ residual }) => residual);
  for (let round = 0; round < fit.set.clays.length; round++) {
    const surest = surestDrift(fit, residuals);
    if (surest === undefined) break;
    if (found.some((d) => d.clay === surest.drift.clay && d.photo === surest.drift.photo)) break;
    found.push(surest.drift);
    // What this clay explains must not be blamed on the clays it was mixed with.
    residuals = surest.rest;
  }
  return found;
}

function surestDrift(fit: Fit, residuals: readonly Float64Array[]) {
  const { set } = fit;
  let surest: { drift: BatchDrift; rest: Float64Array[] } | undefined;
  set.clays.forEach((clay, p) => {
    // The reference defines the unit: if it had changed, all other clays would seem to change.
    if (set.reference.includes(p)) return;
    const holds = ({ tile }: FittedTile) =>
      tile.parts.length > 1 && tile.parts.some((part) => part.clay === p);
    for (const { block, photo } of set.photoBlocks) {
      const inside = (t: FittedTile) => t.tile.photoBlock === block;
      const here = bestFactor(fit.tiles, residuals, p, (t) => holds(t) && inside(t));
      const there = bestFactor(fit.tiles, residuals, p, (t) => holds(t) && !inside(t));
      if (here.tiles < LEAST_TILES || there.tiles < LEAST_TILES) continue;
      const drift = here.value - there.value;
      const sureness = Math.abs(drift) / Math.sqrt(here.variance + there.variance);
      if (sureness < LEAST_SURENESS || Math.abs(drift) < LEAST_DRIFT) continue;
      if (surest !== undefined && surest.drift.sureness >= sureness) continue;
      const factor = Math.exp(drift);
      const per100 = Math.round(100 * Math.abs(factor - 1));
      surest = {
        drift: {
          clay,
          photo,
          factor,
          sureness,
          sentence: `${clay} seems ${per100} in 100 ${factor > 1 ? 'stronger' : 'weaker'} in the tiles of ${photo} than in its others; if it is another batch, give it its own name.`,
        },
        rest: fit.tiles.map((t, i) => {
          if (!holds(t)) return residuals[i];
          const slope = t.slopes.amounts[t.tile.parts.findIndex((part) => part.clay === p)];
          const value = inside(t) ? here.value : there.value;
          return residuals[i].map((v, r) => v - value * slope[r]);
        }),
      };
    }
  });
  return surest;
}

/** ln of the factor on one clay's amount that best fits some tiles, weighted by their noise. */
function bestFactor(
  tiles: readonly FittedTile[],
  residuals: readonly Float64Array[],
  clay: number,
  of: (tile: FittedTile) => boolean,
) {
  let information = 0;
  let score = 0;
  let count = 0;
  tiles.forEach((fitted, t) => {
    if (!of(fitted)) return;
    count++;
    const { tile, slopes } = fitted;
    const d = residuals[t].length;
    const root = Float64Array.from(slopes.noise);
    choleskyInPlace(root, d);
    const slope = Float64Array.from(
      slopes.amounts[tile.parts.findIndex((part) => part.clay === clay)],
    );
    const miss = Float64Array.from(residuals[t]);
    forward(root, slope, d, 1);
    forward(root, miss, d, 1);
    for (let r = 0; r < d; r++) {
      information += slope[r] * slope[r];
      score += slope[r] * miss[r];
    }
  });
  return { tiles: count, value: score / information, variance: 1 / information };
}
