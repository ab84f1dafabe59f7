import { type BlockFactor, sizeOfBlock } from '../clay/block-cholesky.ts';
import { combinationOf } from '../clay/clay-model.ts';
import { widening } from '../clay/data-quality.ts';
import { powerOf } from '../clay/mixture.ts';
import type { Predictor } from '../clay/predict.ts';
import { ABSORPTION_LATENTS, STRENGTH_LATENT } from '../clay/prior.ts';
import { BANDS } from '../colour/grid.ts';
import type { ColourWeights } from '../colour/weights.ts';
import type { Chance } from '../numeric/seeded-chance.ts';
import type { Gloss } from '../optics/surface.ts';
import { mixEvaluator, type PartCurves } from '../search/mix-evaluator.ts';
import type { WholeParts } from './whole-parts.ts';

/** A test ball as it was rolled: its recipe, and its own unknowns. */
export interface RolledBall {
  readonly recipe: WholeParts;
  /**
   * Place in a draw of the departure of each part in this combination; unused where the model
   * learned it.
   */
  readonly departureAt: number;
  /** Place in a draw of the error of the hand, part by part. */
  readonly handAt: number;
}

/**
 * The uncertainty around the optimum of a clay model, as one flat vector of normal variables:
 * unknowns of the model block by block, then 3 of the aim, then those of the test balls rolled. The
 * parts of the prior that its latent form leaves out (about 5 % a band, each band independent) are
 * left out here too: they move a colour by 0.4 CIELAB units on average, 0.85 at worst.
 */
export interface TrialUnknowns {
  readonly predictor: Predictor;
  readonly weights: ColourWeights;
  /** Start of each block; the aim's three come after the last. */
  readonly blockAt: readonly number[];
  readonly aimAt: number;
  readonly modelSize: number;
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
): TrialUnknowns {
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
  return { predictor, weights, blockAt, aimAt: at, modelSize: at + 3, aimRoot, learnsClays };
}

/**
 * One draw of the model's unknowns and of the aim's error, to the given length; values beyond them
 * are standard normal.
 * Method:  Lᵀ x = z with z standard normal has covariance (L Lᵀ)⁻¹; clays of few tiles are widened
 *          in the same way as their ±
 */
export function drawUnknowns(
  unknowns: TrialUnknowns,
  length: number,
  chance: Chance,
): Float64Array {
  const { predictor, blockAt, aimAt, aimRoot, learnsClays } = unknowns;
  const { factor, clays } = predictor.model;
  const draw = new Float64Array(length);
  if (learnsClays) {
    solveTransposed(factor, blockAt, draw, chance);
    clays.forEach((clay, i) => {
      const factor = Math.sqrt(widening(clay));
      const end = i + 1 < blockAt.length ? blockAt[i + 1] : aimAt;
      if (factor !== 1) for (let k = blockAt[i]; k < end; k++) draw[k] *= factor;
    });
  }
  const z = [chance.normal(), chance.normal(), chance.normal()];
  for (let r = 0; r < 3; r++) {
    for (let c = 0; c <= r; c++) draw[aimAt + r] += aimRoot[r * 3 + c] * z[c];
  }
  for (let k = unknowns.modelSize; k < length; k++) draw[k] = chance.normal();
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
  readonly curves: (clay: number) => PartCurves;
  readonly dilution: number;
  readonly shareExponent: number;
}

/** Opens draws of these unknowns as clays. The same as `coefficientsOf` of the moved latents, faster. */
export function clayDrawer({ predictor, blockAt, learnsClays }: TrialUnknowns) {
  const { model, coefficients } = predictor;
  const { absorption, scattering } = model.prior;
  const optimum = coefficients.map((c) => ({
    lnAbsorption: c.absorption.map(Math.log),
    lnScattering: c.scattering.map(Math.log),
  }));
  const shared = blockAt[model.sharedBlock];
  const sharedSize = sizeOfBlock(model.factor, model.sharedBlock);
  return (draw: Float64Array): DrawnClays => {
    const known: PartCurves[] = [];
    return {
      dilution: model.physics.dilution + draw[shared],
      shareExponent: model.physics.shareExponent + (sharedSize > 2 ? draw[shared + 2] : 0),
      curves(clay) {
        known[clay] ??= make(draw, clay);
        return known[clay];
      },
    };
  };

  function make(draw: Float64Array, clay: number): PartCurves {
    const { clayClass, pinned } = model.clays[clay];
    const white = clayClass === 'white';
    if (!learnsClays) return { ...coefficients[clay], white };
    const at = blockAt[clay];
    const { lnAbsorption, lnScattering } = optimum[clay];
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

/**
 * Colours of mixes under drawn clays, written to out[0..2]; opaque, like test balls. `ball`: the
 * mix as rolled, with its own departures from the draw. Without it, both are drawn by `chance`;
 * with neither, the mix is the plain sum of its clays.
 */
export function drawnMixColours(
  { predictor, weights, blockAt, learnsClays }: TrialUnknowns,
  geometry: Gloss,
  partsSpread: number,
) {
  const { model } = predictor;
  const evaluator = mixEvaluator(weights, geometry);
  const whiteAbsorption = new Float64Array(BANDS);
  const colourAbsorption = new Float64Array(BANDS);
  const scattering = new Float64Array(BANDS);
  const amounts: number[] = [];
  const combinations = new Map<WholeParts, ReturnType<typeof combinationOf>>();
  return (
    out: Float64Array,
    drawn: DrawnClays,
    draw: Float64Array,
    recipe: WholeParts,
    ball: RolledBall | undefined,
    chance: Chance | undefined,
  ): void => {
    whiteAbsorption.fill(0);
    colourAbsorption.fill(0);
    scattering.fill(0);
    let total = 0;
    const mixed = recipe.length > 1;
    let combination = combinations.get(recipe);
    if (combination === undefined && mixed && !combinations.has(recipe)) {
      combination = combinationOf(
        model,
        recipe.map(({ clay }) => clay),
      );
      combinations.set(recipe, combination);
    }
    recipe.forEach(({ clay, parts }, i) => {
      let amount = parts;
      if (mixed) {
        let ln = 0;
        if (combination !== undefined) {
          const at = combination.others.indexOf(clay);
          if (at >= 0) {
            ln += combination.departures[at];
            if (learnsClays) ln += draw[blockAt[combination.block] + at];
          }
        } else if (i > 0 && learnsClays) {
          // The first clay of a recipe has most parts and no departure, as in the fit.
          if (ball !== undefined) ln += model.combinationSpread * draw[ball.departureAt + i];
          else if (chance !== undefined) ln += model.combinationSpread * chance.normal();
        }
        if (ball !== undefined) ln += partsSpread * draw[ball.handAt + i];
        else if (chance !== undefined) ln += partsSpread * chance.normal();
        amount *= Math.exp(ln);
      }
      amounts[i] = amount;
      total += amount;
    });
    let all = 0;
    let coloured = 0;
    recipe.forEach(({ clay }, i) => {
      const power = powerOf(model.clays[clay].clayClass, drawn.shareExponent);
      const amount = (amounts[i] / total) ** power;
      const curves = drawn.curves(clay);
      const target = curves.white ? whiteAbsorption : colourAbsorption;
      for (let band = 0; band < BANDS; band++) {
        target[band] += amount * curves.absorption[band];
        scattering[band] += amount * curves.scattering[band];
      }
      all += amount;
      if (!curves.white) coloured += amount;
    });
    const factor = coloured > 0 ? (coloured / all) ** drawn.dilution : 1;
    evaluator.labInto(out, whiteAbsorption, colourAbsorption, scattering, factor);
    for (const { clay, parts } of recipe) {
      // The addition of a special clay to the body colour, in proportion to its intended share.
      const own = model.clays[clay].effect;
      if (own === undefined) continue;
      const share = parts / recipe.reduce((sum, part) => sum + part.parts, 0);
      for (let k = 0; k < 3; k++) {
        out[k] += share * (own.departure[k] + (learnsClays ? draw[blockAt[own.block] + k] : 0));
      }
    }
  };
}
