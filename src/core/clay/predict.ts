import { BANDS } from '../colour/grid.ts';
import type { Lab } from '../colour/triples.ts';
import type { ColourWeights } from '../colour/weights.ts';
import { invalidInput } from '../errors.ts';
import { claySurface, type Gloss } from '../optics/surface.ts';
import { dotOfSolved, sizeOfBlock } from './block-cholesky.ts';
import { checkShares } from './check-reading.ts';
import {
  type ClayModel,
  coefficientsOfModel,
  combinationOf,
  type ModelAlternative,
  modelByAlternative,
} from './clay-model.ts';
import { widening } from './data-quality.ts';
import { withEffectOffset } from './fit.ts';
import { type ClayShare, type Film, mixSlopes } from './mixture.ts';
import { newMixSpreadOf } from './new-mix-spread.ts';
import { addPosterior, addProducts, addSolved, type Solved, solvedRows } from './posterior.ts';
import type { Coefficients } from './prior.ts';
import { addOuter, type PreparedTile, tileSlopes } from './tile-equations.ts';

/** The expected colour of a mix. */
export interface ColourPrediction {
  /** 36 bands, 0-1, as the surface shows them. */
  readonly spectrum: Float64Array;
  /** Under the light and observer of the weights. */
  readonly lab: Lab;
  /** 3 x 3 by rows, CIELAB units squared. */
  readonly covariance: Float64Array;
}

export interface PredictOptions {
  /** Light and observer; the program itself uses `colourWeights('D50', 2)`. */
  readonly weights: ColourWeights;
  /** Whether gloss is part of the answer; when absent, as in most of the model's readings. */
  readonly geometry?: Gloss;
  /** Relative standard deviation of each part as it will be measured out. */
  readonly partsSpread: number;
  readonly film?: Film;
}

/** A model opened for many predictions, so that K and S are worked out only once. */
export interface Predictor {
  readonly model: ClayModel;
  readonly coefficients: readonly Coefficients[];
  /** K and S by each alternative of the model. */
  readonly alternatives?: readonly (ModelAlternative & {
    readonly coefficients: readonly Coefficients[];
  })[];
}

/** Opens a model; costs as much as predicting a mix of all its clays. */
export function openModel(model: ClayModel): Predictor {
  const { prior, alternatives } = model;
  const opened = { model, coefficients: coefficientsOfModel(model) };
  if (alternatives === undefined) return opened;
  return {
    ...opened,
    alternatives: alternatives.map((each) => ({
      ...each,
      coefficients: coefficientsOfModel({ prior, clays: each.clays }),
    })),
  };
}

/**
 * Spectrum, colour and uncertainty of a mix.
 * Shape:   parts by index into the model's clays; covariance 3 x 3
 * Units:   shares sum to 1; Lab under the light of the weights
 * Refuses: no part, a part that is not of the model or is named twice, shares that are below 0 or
 *          do not sum to 1, a spread of parts below 0, a film without thickness or with a backing
 *          that is not 36 bands of 0-1 -> invalid-input
 * Holds:   the covariance is that of the true colour of this mix: it includes what is uncertain
 *          about the clays, their departure in this combination and the parts, and not the noise of
 *          a new reading. Where explanations of wrong tiles are open, colour and spectrum are those of
 *          the likeliest, and the covariance holds how far the others are from them, by their chance
 */
export function predictMix(
  predictor: Predictor,
  parts: readonly ClayShare[],
  options: PredictOptions,
): ColourPrediction {
  const mix = mixInUnknowns(predictor, parts, options);
  const { spectrum, lab } = mix;
  const covariance = widenedCovariance(predictor.model, mix);
  for (const other of predictor.alternatives ?? []) {
    const [l, a, b] = labByAlternative(predictor.model, other, parts, options);
    const apart = Float64Array.of(l - lab[0], a - lab[1], b - lab[2]);
    addOuter(covariance, apart, Math.sqrt(other.probability), 3);
  }
  return { spectrum, lab, covariance };
}

/** Colour of a mix by another explanation of the readings. */
export function labByAlternative(
  model: ClayModel,
  other: NonNullable<Predictor['alternatives']>[number],
  parts: readonly ClayShare[],
  options: PredictOptions,
): Lab {
  const seen = { model: modelByAlternative(model, other), coefficients: other.coefficients };
  return mixInUnknowns(seen, parts, options).lab;
}

/** Covariance of the plain Gaussian at the optimum, without the widening of poorly known clays. */
export function plainCovariance(
  predictor: Predictor,
  parts: readonly ClayShare[],
  options: PredictOptions,
): Float64Array {
  const { blocks, own } = mixInUnknowns(predictor, parts, options);
  const known = new Float64Array(9);
  addPosterior(known, predictor.model, blocks);
  return known.map((v, i) => v + own[i]);
}

/**
 * The covariance, widened by the factors of its clays, each weighted by the variance it brings. The
 * share of each clay and the total come from one solution, because the solution of a sum is the sum
 * of the solutions of its parts.
 */
export function widenedCovariance(
  model: ClayModel,
  { blocks, own }: Pick<MixInUnknowns, 'blocks' | 'own'>,
): Float64Array {
  const all: Solved[] = [[], [], []];
  const shared = new Map<number, Float64Array>();
  let weighted = 0;
  let total = 0;
  for (const [block, jacobian] of blocks) {
    const clay = model.clays[block];
    if (clay === undefined) {
      shared.set(block, jacobian);
      continue;
    }
    const alone = solvedRows(model, new Map([[block, jacobian]]), 3);
    const variance = alone.reduce((sum, row) => sum + dotOfSolved(row, row), 0);
    weighted += variance * widening(clay);
    total += variance;
    alone.forEach((row, r) => {
      addSolved(all[r], row);
    });
  }
  if (shared.size > 0) {
    solvedRows(model, shared, 3).forEach((row, r) => {
      addSolved(all[r], row);
    });
  }
  const known = new Float64Array(9);
  addProducts(known, all);
  const factor = total > 0 ? weighted / total : 1;
  return bentAndMissed(
    known.map((v, i) => factor * v + own[i]),
    model.missFactor,
  );
}

/** A covariance of the tangent with the bend of what is not known, and with the misses of the model's tiles. */
export function bentAndMissed(tangent: Float64Array, missFactor: number): Float64Array {
  const bent = BEND * (tangent[0] + tangent[4] + tangent[8]);
  const misses = missFactor ** 2;
  return tangent.map((v, i) => misses * (v + (i % 4 === 0 ? bent : 0)));
}

/**
 * Share of the whole variance that any direction holds at least. What is not known moves a colour along a
 * curve, and the covariance has the tangent alone: an opaque yellow of unknown scattering gets darker,
 * duller and redder in turn. By bench/other-truths.ts, six studios: regions 84 to 88 % where the theory is
 * right, 55 to 74 % where absorption crowds out scattering; 0.05 adds 2 % and costs density.
 */
const BEND = 0.03;

/** A mix at the optimum, and the slopes of its Lab with everything that is uncertain. */
export interface MixInUnknowns {
  readonly spectrum: Float64Array;
  readonly lab: Lab;
  /** Slopes of Lab with the unknowns of the model, by block: 3 x size of the block, by rows. */
  readonly blocks: ReadonlyMap<number, Float64Array>;
  /**
   * Covariance that belongs to this mix alone, 3 x 3: parts, departure, what the latent shapes do
   * not explain.
   */
  readonly own: Float64Array;
}

/**
 * A mix with its slopes, for uses that need more than one covariance: how the errors of two mixes
 * go together, what a further tile would show. Arguments and refusals as {@link predictMix}; the
 * full covariance of two mixes a and b is Ja P⁻¹ Jbᵀ, with `own` added where they are one tile.
 */
export function mixInUnknowns(
  predictor: Predictor,
  parts: readonly ClayShare[],
  options: PredictOptions,
): MixInUnknowns {
  const { model, coefficients } = predictor;
  checkShares(parts, 'a mix');
  if (parts.some(({ clay }) => model.clays[clay] === undefined)) {
    throw invalidInput('A mix names a clay that is not in the clay model.');
  }
  checkOptions(options);
  const used = parts.filter(({ share }) => share > 0);
  const combination = combinationOf(
    model,
    used.map(({ clay }) => clay),
  );
  const ordered =
    combination === undefined
      ? [...used].sort((a, b) => b.share - a.share || a.clay - b.clay)
      : [combination.main, ...combination.others].map((p) => used.find(({ clay }) => clay === p)!);
  const tile: PreparedTile = {
    name: '',
    parts: ordered,
    observable: { kind: 'lab', weights: options.weights },
    observed: new Float64Array(3),
    spread: 0,
    surface: claySurface(options.geometry ?? model.geometry),
    glossLearned: options.geometry === undefined && typeof model.geometry === 'number',
    ...(options.film === undefined ? {} : { film: options.film }),
    partsSpread: options.partsSpread,
    photoBlock: -1,
    effects: ordered.flatMap(({ clay, share }) => {
      const own = model.clays[clay].effect;
      return own === undefined ? [] : [{ effect: own.effect, block: own.block, share }];
    }),
    combinationBlock: combination?.block ?? -1,
    mainPart: 0,
  };
  const unknowns: Float64Array[] = [];
  if (combination !== undefined) unknowns[combination.block] = combination.departures;
  const classes = model.clays.map((p) => p.clayClass);
  const mix = mixSlopes(
    withEffectOffset(tile, unknowns),
    coefficients,
    classes,
    model.physics,
    tile.surface,
    tile.film,
  );
  const slopes = tileSlopes(
    tile,
    mix,
    model.prior,
    classes,
    model.clays.map((p) => p.pinned),
    { sharedBlock: model.sharedBlock, sharedSize: sizeOfBlock(model.factor, model.sharedBlock) },
    0,
  );
  const own = Float64Array.from(slopes.noise);
  if (combination === undefined && ordered.length > 1) {
    // A combination never baked departs from simple addition by as much as the baked ones did.
    const d = slopes.predicted.length;
    for (let i = 1; i < ordered.length; i++) {
      addOuter(own, slopes.amounts[i], newMixSpreadOf(model, ordered[i].clay), d);
    }
  }
  const [l, a, b] = slopes.predicted;
  const departure = effectOffset(model, ordered);
  return {
    spectrum: mix.reflectance,
    lab: [l + departure[0], a + departure[1], b + departure[2]],
    blocks: slopes.blocks,
    own,
  };
}

function checkOptions({ partsSpread, film }: PredictOptions): void {
  if (!(partsSpread >= 0 && partsSpread < Number.POSITIVE_INFINITY)) {
    throw invalidInput(`Parts are predicted with a spread of ${partsSpread}; it starts at 0.`);
  }
  if (film === undefined) return;
  if (!(film.thicknessMm > 0 && film.thicknessMm < Number.POSITIVE_INFINITY)) {
    throw invalidInput(`A film must be thicker than 0 mm, and this is ${film.thicknessMm}.`);
  }
  if (film.backing.length !== BANDS || !film.backing.every((r) => r >= 0 && r <= 1)) {
    throw invalidInput(`A backing has ${BANDS} bands and reflects 0 to 1.`);
  }
}

/** What special clays add to the body colour of a mix, CIELAB, in proportion to their shares. */
export function effectOffset(model: ClayModel, parts: readonly ClayShare[]): Lab {
  const sum: [number, number, number] = [0, 0, 0];
  for (const { clay, share } of parts) {
    const own = model.clays[clay].effect;
    if (own !== undefined) for (let k = 0; k < 3; k++) sum[k] += share * own.departure[k];
  }
  return sum;
}
