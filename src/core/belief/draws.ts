import { type BlockFactor, sizeOfBlock } from '../clay/block-cholesky.ts';
import { type ClayModel, modelByAlternative } from '../clay/clay-model.ts';
import { widening } from '../clay/data-quality.ts';
import { powerOf } from '../clay/mixture.ts';
import type { Predictor } from '../clay/predict.ts';
import { ABSORPTION_LATENTS, type Coefficients, STRENGTH_LATENT } from '../clay/prior.ts';
import { BANDS } from '../colour/grid.ts';
import type { ColourWeights } from '../colour/weights.ts';
import type { Chance } from '../numeric/seeded-chance.ts';
import type { PartCurves } from '../search/mix-evaluator.ts';
import { normalShare } from '../verdict/chance.ts';

/** The clays by one explanation of the readings. */
export interface World {
  readonly probability: number;
  readonly model: ClayModel;
  readonly coefficients: readonly Coefficients[];
}

/**
 * The uncertainty around the optimum of a clay model, as one flat vector of normal variables:
 * unknowns of the model block by block, then 3 of the aim, then the explanation of the readings where
 * several are open, then those of the test balls rolled. The parts of the prior that its latent form leaves out (about 5 % a band, each band independent) are
 * left out here too: they move a colour by 0.4 CIELAB units on average, 0.85 at worst.
 */
export interface ClayUnknowns {
  readonly predictor: Predictor;
  readonly weights: ColourWeights;
  /** Start of each block; the aim's three come after the last. */
  readonly blockAt: readonly number[];
  readonly aimAt: number;
  /** Where several explanations are open: place of the value that chooses one. */
  readonly worldAt: number;
  readonly modelSize: number;
  /** That of the model first. */
  readonly worlds: readonly World[];
  /** Lower Cholesky root of the aim's covariance, 3 x 3 by rows. */
  readonly aimRoot: Float64Array;
  /** False: the clays stay at the optimum and only the aim is uncertain. */
  readonly learnsClays: boolean;
}

/** Arranges the unknowns of a model and of an aim in one vector. */
export function unknownsOf(
  predictor: Predictor,
  weights: ColourWeights,
  aimRoot: Float64Array,
  learnsClays: boolean,
): ClayUnknowns {
  const { order, sizes } = predictor.model.factor;
  const sizeOf = new Array<number>(order.length);
  order.forEach((block, at) => {
    sizeOf[block] = sizes[at];
  });
  const blockAt: number[] = [];
  let at = 0;
  for (const size of sizeOf) {
    blockAt.push(at);
    at += size;
  }
  const worlds = worldsOf(predictor, learnsClays);
  const worldAt = at + 3;
  const modelSize = worlds.length > 1 ? worldAt + 1 : worldAt;
  return {
    predictor,
    weights,
    blockAt,
    aimAt: at,
    worldAt,
    modelSize,
    worlds,
    aimRoot,
    learnsClays,
  };
}

function worldsOf({ model, coefficients, alternatives }: Predictor, learnsClays: boolean): World[] {
  const others = learnsClays ? (alternatives ?? []) : [];
  const rest = others.reduce((sum, { probability }) => sum + probability, 0);
  return [
    { probability: 1 - rest, model, coefficients },
    ...others.map((other) => ({
      probability: other.probability,
      model: modelByAlternative(model, other),
      coefficients: other.coefficients,
    })),
  ];
}

/** Place of the explanation that a draw is of: each as often as it is likely. */
export function worldOf({ worlds, worldAt }: ClayUnknowns, draw: Float64Array): number {
  if (worlds.length === 1) return 0;
  let left = normalShare(draw[worldAt]);
  for (let i = 0; i < worlds.length - 1; i++) {
    left -= worlds[i].probability;
    if (left < 0) return i;
  }
  return worlds.length - 1;
}

/** Of drawn clays, those of the explanation that most are of: a mean over two would be neither. */
export function ofUsualWorld<T extends { readonly world: number }>(drawn: readonly T[]): T[] {
  const counts: number[] = [];
  for (const { world } of drawn) counts[world] = (counts[world] ?? 0) + 1;
  const most = Math.max(...counts.filter((n) => n !== undefined));
  const usual = counts.indexOf(most);
  return drawn.filter(({ world }) => world === usual);
}

/**
 * One draw of the model's unknowns and of the aim's error, to the given length; values beyond them
 * are standard normal.
 * Method:  Lᵀ x = z with z standard normal has covariance (L Lᵀ)⁻¹; clays of few tiles are widened
 *          in the same way as their ±
 */
export function drawUnknowns(unknowns: ClayUnknowns, length: number, chance: Chance): Float64Array {
  const { predictor, blockAt, aimAt, aimRoot, learnsClays } = unknowns;
  const { factor, clays, missFactor } = predictor.model;
  const draw = new Float64Array(length);
  if (learnsClays) {
    solveTransposed(factor, blockAt, draw, chance);
    clays.forEach((clay, i) => {
      const factor = Math.sqrt(widening(clay));
      const end = i + 1 < blockAt.length ? blockAt[i + 1] : aimAt;
      if (factor !== 1) for (let k = blockAt[i]; k < end; k++) draw[k] *= factor;
    });
    if (missFactor !== 1) for (let k = 0; k < aimAt; k++) draw[k] *= missFactor;
  }
  const z = [chance.normal(), chance.normal(), chance.normal()];
  for (let r = 0; r < 3; r++) {
    for (let c = 0; c <= r; c++) draw[aimAt + r] += aimRoot[r * 3 + c] * z[c];
  }
  for (let k = unknowns.worldAt; k < length; k++) draw[k] = chance.normal();
  return draw;
}

function solveTransposed(
  { order, sizes, columns }: BlockFactor,
  blockAt: readonly number[],
  out: Float64Array,
  chance: Chance,
): void {
  for (let j = order.length - 1; j >= 0; j--) {
    const n = sizes[j];
    const at = blockAt[order[j]];
    for (let k = 0; k < n; k++) out[at + k] = chance.normal();
    const [diagonal, ...below] = columns[j];
    for (const { row, values } of below) {
      const other = blockAt[order[row]];
      const rows = sizes[row];
      for (let r = 0; r < rows; r++) {
        const x = out[other + r];
        if (x === 0) continue;
        for (let k = 0; k < n; k++) out[at + k] -= values[r * n + k] * x;
      }
    }
    for (let r = n - 1; r >= 0; r--) {
      let sum = out[at + r];
      for (let k = r + 1; k < n; k++) sum -= diagonal.values[k * n + r] * out[at + k];
      out[at + r] = sum / diagonal.values[r * n + r];
    }
  }
}

/** The clays of one draw, each worked out when first needed. */
export interface DrawnClays {
  /** Place of the explanation that these clays are of. */
  readonly world: number;
  readonly curves: (clay: number) => PartCurves;
  /** To which power the share of a clay counts. */
  readonly power: (clay: number) => number;
  readonly dilution: number;
  readonly shareExponent: number;
}

/** Opens draws of these unknowns as clays. The same as `coefficientsOf` of the moved latents, faster. */
export function clayDrawer(unknowns: ClayUnknowns) {
  const { predictor, blockAt, learnsClays, worlds } = unknowns;
  const { model } = predictor;
  const { absorption, scattering } = model.prior;
  const optimum = worlds.map(({ coefficients }) =>
    coefficients.map((c) => ({
      lnAbsorption: c.absorption.map(Math.log),
      lnScattering: c.scattering.map(Math.log),
    })),
  );
  const shared = blockAt[model.sharedBlock];
  const sharedSize = sizeOfBlock(model.factor, model.sharedBlock);
  return (draw: Float64Array): DrawnClays => {
    const known: PartCurves[] = [];
    const world = worldOf(unknowns, draw);
    const { clays, physics } = worlds[world].model;
    const shareExponent = physics.shareExponent + (sharedSize > 2 ? draw[shared + 2] : 0);
    return {
      world,
      power: (clay) => powerOf(clays[clay].clayClass, shareExponent),
      dilution: physics.dilution + draw[shared],
      shareExponent,
      curves(clay) {
        known[clay] ??= make(draw, world, clay);
        return known[clay];
      },
    };
  };

  function make(draw: Float64Array, world: number, clay: number): PartCurves {
    const { model, coefficients } = worlds[world];
    const { clayClass, pinned } = model.clays[clay];
    const white = clayClass === 'white';
    if (!learnsClays) return { ...coefficients[clay], white };
    const at = blockAt[clay];
    const { lnAbsorption, lnScattering } = optimum[world][clay];
    const both = pinned
      ? 0
      : draw[at + STRENGTH_LATENT] * model.prior.means[clayClass].strengthSpread;
    return {
      absorption: movedCurve(lnAbsorption, absorption.shapes, draw, at, both),
      scattering: pinned
        ? coefficients[clay].scattering
        : movedCurve(
            lnScattering,
            scattering.shapes,
            draw,
            at + ABSORPTION_LATENTS,
            clayClass === 'concentrate' ? 0 : both,
          ),
      white,
    };
  }
}

function movedCurve(
  ln: Float64Array,
  shapes: readonly Float64Array[],
  draw: Float64Array,
  at: number,
  both: number,
): Float64Array {
  const out = Float64Array.from(ln);
  for (let j = 0; j < shapes.length; j++) {
    const shape = shapes[j];
    const by = draw[at + j];
    for (let band = 0; band < BANDS; band++) out[band] += by * shape[band];
  }
  for (let band = 0; band < BANDS; band++) out[band] = Math.exp(out[band] + both);
  return out;
}

/** K and S in the middle of all draws: geometric means, because the draws are of logarithms. */
export function meanCurves(
  clays: readonly DrawnClays[],
  count: number,
  wanted: readonly number[],
): Coefficients[] {
  return Array.from({ length: count }, (_, clay) => {
    const absorption = new Float64Array(BANDS);
    const scattering = new Float64Array(BANDS);
    if (!wanted.includes(clay)) return { absorption, scattering };
    for (const drawn of clays) {
      const curves = drawn.curves(clay);
      for (let band = 0; band < BANDS; band++) {
        absorption[band] += Math.log(curves.absorption[band]);
        scattering[band] += Math.log(curves.scattering[band]);
      }
    }
    const middle = (sums: Float64Array) => sums.map((v) => Math.exp(v / clays.length));
    return { absorption: middle(absorption), scattering: middle(scattering) };
  });
}
