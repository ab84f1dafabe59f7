import { Matrix, solve } from 'ml-matrix';
import type { ClayClass } from '../clay/clay-class.ts';
import type { ClayModel } from '../clay/clay-model.ts';
import { blockCovariance } from '../clay/families.ts';
import { openModel } from '../clay/predict.ts';
import {
  ABSORPTION_LATENTS,
  LATENTS,
  type Prior,
  SCATTERING_LATENTS,
  STRENGTH_LATENT,
} from '../clay/prior.ts';
import { BANDS } from '../colour/grid.ts';
import { layoutOfShared } from './layout-of-shared.ts';
import type { SharedClay, SharedClays } from './shared-clays.ts';

/** One clay that is in both books: its place in the own model, and among the shared clays. */
export interface Anchor {
  readonly own: number;
  readonly theirs: number;
}
/** Without an anchor nothing says how two books compare. */
export type Anchors = readonly [Anchor, ...Anchor[]];

/**
 * By how much ln K and ln S of another book are to be raised at each band. A book counts both by the
 * scattering of its white, so that clays of two books only mix once one clay in common says how the two
 * whites compare.
 * Shape:   36 values of ln, smooth as scattering is
 * Method:  the mean of what the anchors' ln K and ln S say, each band weighted by how well both books
 *          know it, along the shapes that scattering takes
 */
export function scaleBetween(own: ClayModel, shared: SharedClays, anchors: Anchors): Float64Array {
  const ours = openModel(own).coefficients;
  const theirs = coefficientsOf(shared);
  const normal = Matrix.zeros(1 + SCATTERING_LATENTS, 1 + SCATTERING_LATENTS);
  const right = Matrix.zeros(1 + SCATTERING_LATENTS, 1);
  for (let j = 0; j < SCATTERING_LATENTS; j++) normal.set(j + 1, j + 1, 1);
  const shape = (j: number, band: number) =>
    j === 0 ? 1 : own.prior.scattering.shapes[j - 1][band];
  for (const anchor of anchors) {
    const ownSpread = curveVariances(
      own.prior,
      own.clays[anchor.own].clayClass,
      blockCovariance(own.factor, anchor.own),
    );
    const theirClay = shared.clays[anchor.theirs];
    const theirSpread = curveVariances(shared.prior, theirClay.clayClass, outer(theirClay.modes));
    for (const curve of ['absorption', 'scattering'] as const) {
      for (let band = 0; band < BANDS; band++) {
        const weight = 1 / (ownSpread[curve][band] + theirSpread[curve][band] + LEAST_VARIANCE);
        const apart =
          Math.log(ours[anchor.own][curve][band]) - Math.log(theirs[anchor.theirs][curve][band]);
        for (let j = 0; j <= SCATTERING_LATENTS; j++) {
          right.set(j, 0, right.get(j, 0) + weight * apart * shape(j, band));
          for (let k = 0; k <= SCATTERING_LATENTS; k++) {
            normal.set(j, k, normal.get(j, k) + weight * shape(j, band) * shape(k, band));
          }
        }
      }
    }
  }
  const found = solve(normal, right).to1DArray();
  return Float64Array.from({ length: BANDS }, (_, band) =>
    found.reduce((sum, v, j) => sum + v * shape(j, band), 0),
  );
}

/** No curve is known better than this, variance of ln. */
const LEAST_VARIANCE = 1e-4;

/**
 * Shared clays in the terms of another model: its means and shapes, on its scale.
 * Holds:   colours of their mixes stay, as far as the shapes of the model can follow
 */
export function sharedInFrame(shared: SharedClays, prior: Prior, scale: Float64Array): SharedClays {
  const curves = coefficientsOf(shared);
  const moved = scale.some((v) => v !== 0);
  return {
    ...shared,
    prior,
    clays: shared.clays.map((clay, i): SharedClay => {
      const { pinned: wasPinned, clayClass } = clay;
      const pinned = wasPinned && !moved;
      const mean = prior.means[clayClass];
      const target = [
        ...curves[i].absorption.map(
          (v, band) => Math.log(v) + scale[band] - mean.lnAbsorption[band],
        ),
        ...curves[i].scattering.map(
          (v, band) => Math.log(v) + scale[band] - mean.lnScattering[band],
        ),
      ];
      const into = fitOf(prior, clayClass, pinned);
      const before = rowsOf(shared.prior, clayClass, wasPinned);
      return {
        ...clay,
        pinned,
        latent: into(target),
        modes: clay.modes.map((mode) => into(along(before, mode))),
      };
    }),
  };
}

function coefficientsOf(shared: SharedClays) {
  const { spreads: _, ...layout } = layoutOfShared(shared);
  return openModel({ ...layout, factor: { order: [], sizes: [], columns: [] } }).coefficients;
}

/** ln K and then ln S at every band, by each latent coefficient: 72 rows of 24. */
function rowsOf(prior: Prior, clayClass: ClayClass, pinned: boolean): number[][] {
  const { strengthSpread } = prior.means[clayClass];
  const strength = pinned ? 0 : strengthSpread;
  const row = (values: (at: number) => number) =>
    Array.from({ length: LATENTS }, (_, j) => values(j));
  return [
    ...Array.from({ length: BANDS }, (_, band) =>
      row((j) =>
        j === STRENGTH_LATENT
          ? strength
          : j < ABSORPTION_LATENTS
            ? prior.absorption.shapes[j][band]
            : 0,
      ),
    ),
    ...Array.from({ length: BANDS }, (_, band) =>
      row((j) => {
        if (pinned) return 0;
        if (j === STRENGTH_LATENT) return clayClass === 'concentrate' ? 0 : strength;
        return j < ABSORPTION_LATENTS ? 0 : prior.scattering.shapes[j - ABSORPTION_LATENTS][band];
      }),
    ),
  ];
}

/** The latent coefficients whose curves come closest, with hardly a pull towards the mean. */
function fitOf(prior: Prior, clayClass: ClayClass, pinned: boolean) {
  const rows = new Matrix(rowsOf(prior, clayClass, pinned));
  const transposed = rows.transpose();
  const normal = transposed.mmul(rows).add(Matrix.eye(LATENTS).mul(LEAST_PULL));
  return (curve: readonly number[]): Float64Array =>
    Float64Array.from(solve(normal, transposed.mmul(Matrix.columnVector([...curve]))).to1DArray());
}

const LEAST_PULL = 1e-6;

function along(rows: readonly (readonly number[])[], latent: Float64Array): number[] {
  return rows.map((row) => row.reduce((sum, v, j) => sum + v * latent[j], 0));
}

function outer(modes: readonly Float64Array[]): Float64Array {
  const out = new Float64Array(LATENTS * LATENTS);
  for (const mode of modes) {
    for (let r = 0; r < LATENTS; r++) {
      for (let c = 0; c < LATENTS; c++) out[r * LATENTS + c] += mode[r] * mode[c];
    }
  }
  return out;
}

function curveVariances(prior: Prior, clayClass: ClayClass, covariance: Float64Array) {
  const variances = rowsOf(prior, clayClass, false).map((row) => {
    let sum = 0;
    for (let r = 0; r < LATENTS; r++) {
      if (row[r] === 0) continue;
      for (let c = 0; c < LATENTS; c++) sum += row[r] * covariance[r * LATENTS + c] * row[c];
    }
    return sum;
  });
  return { absorption: variances.slice(0, BANDS), scattering: variances.slice(BANDS) };
}
