import { claySurface } from '../optics/surface.ts';
import {
  type BlockFactor,
  BlockMatrix,
  eliminationOrder,
  factorise,
  solve,
} from './block-cholesky.ts';
import type { ClayClass } from './clay-class.ts';
import { type Belief, beliefFromFamilies, blockCovariance } from './families.ts';
import type { Fit, SeenTile } from './fit-result.ts';
import { FIT_SETTINGS, type FitSettings } from './fit-settings.ts';
import { type ClayShare, mixSlopes, type SharedPhysics } from './mixture.ts';
import { type PreparedSet, prepareTiles } from './prepare.ts';
import {
  type Coefficients,
  coefficientsFromLatent,
  LATENTS,
  type Prior,
  STRENGTH_LATENT,
} from './prior.ts';
import { freeBeliefs, warmStart } from './starting-point.ts';
import { type PreparedTile, SHARED, tileSlopes } from './tile-equations.ts';
import type { TileReading } from './tile-reading.ts';
import { distanceOf, type Trust, trustOf, whitened } from './trust.ts';

/**
 * Noise added at first and removed in steps, so that large residuals pull without upsetting the
 * fit.
 */
const ANNEAL = [20, 8, 3, 1];
const ANNEAL_STEPS = 4;
/** How often noise and robust weights are updated: roughly before families, finely after. */
const NOISE_ROUNDS_BEFORE_FAMILIES = 2;
const NOISE_ROUNDS = 4;
/** Rounds of assigning families and fitting again; a third round changes nothing visible. */
const FAMILY_ROUNDS = 2;
/** Place of the gloss share among the shared unknowns. */
const GLOSS = 3;
/** ln odds from which it is clear whether readings hold the gloss; 20 to 1. */
const GLOSS_CLEAR = 3;
/** Precision of an unknown that is held. */
const HELD = 1e8;
/** An earlier fit of the same clays brings their families with it. */
const WARM_FAMILY_ROUNDS = 1;

/**
 * Learns the clays of a set of tiles: maximum a posteriori over latent coefficients.
 * Shape:   any number of readings over any number of clays
 * Method:  Gauss-Newton with Levenberg's damping on whitened residuals, analytic slopes; noise and
 *          robust weights stay fixed while the steps converge and are then updated, for some
 *          rounds; block-sparse Cholesky
 * Begins:  far off with added noise; or at `before`, an earlier fit of the same clays, which costs
 *          a part of the time and ends at the same optimum, except for families that change
 * Returns: `converged` false when the iterations ran out; the answer is then the best so far
 * Refuses: as `prepareTiles` -> invalid-input
 * Source:  [Rodgers2000] maximum a posteriori; [Huber1981] robust weights
 */
export function fitClays(
  readings: readonly TileReading[],
  prior: Prior,
  settings: FitSettings = FIT_SETTINGS,
  before?: Fit,
): Fit {
  const set = prepareTiles(readings, LATENTS);
  const free = freeBeliefs(set, prior, settings);
  const start = before === undefined ? undefined : warmStart(set, free, before);
  let beliefs: readonly Belief[] = start?.beliefs ?? free;
  const pinned = set.clays.map((_, i) => isPinned(set, i));
  let unknowns = start?.unknowns ?? set.blockSizes.map((size) => new Float64Array(size));
  let combinationSpread = before?.combinationSpread ?? settings.combinationSpread;
  let order: number[] | undefined;
  let seen:
    | { readonly at: typeof unknowns; readonly extra: number; readonly state: State }
    | undefined;
  let iterations = 0;
  let converged = false;
  let lastMove = Number.POSITIVE_INFINITY;

  const warm = start?.complete === true;
  if (!warm) for (const extra of ANNEAL) descend(extra, ANNEAL_STEPS, 1);
  for (let round = 0; round < (warm ? WARM_FAMILY_ROUNDS : FAMILY_ROUNDS); round++) {
    descend(0, settings.maxIterations, NOISE_ROUNDS_BEFORE_FAMILIES);
    beliefs = familyBeliefs();
  }
  descend(0, settings.maxIterations, NOISE_ROUNDS);
  const glossSnapped = snapGloss();
  const end = evaluate(unknowns, 0);
  const trust = trustOf(end.tiles, true);
  const { matrix } = normalEquations(end, unknowns, trust);
  return {
    set,
    prior,
    settings,
    beliefs,
    unknowns,
    coefficients: end.coefficients,
    physics: end.physics,
    ...(glossSnapped === undefined ? {} : { glossSnapped }),
    factor: factorise(matrix, order),
    combinationSpread,
    tiles: end.tiles.map((t, i) => ({ ...t, weight: trust.weights[i] })),
    iterations,
    converged,
    lastMove,
  };

  /**
   * Gauss-Newton steps with fixed noise and robust weights, then both are updated, for some rounds.
   * With both fixed, the goal is one function and every accepted step lowers it; updated at every
   * step, it drifts.
   */
  function descend(extra: number, steps: number, noiseRounds: number): void {
    for (let noiseRound = 0; noiseRound < noiseRounds; noiseRound++) {
      let state = evaluate(unknowns, extra);
      const trust = trustOf(state.tiles, extra === 0);
      let damping = 1e-3;
      let firstMove = 0;
      for (let step = 0; step < steps; step++) {
        iterations++;
        const next = damped(state);
        lastMove = next === undefined ? 0 : largestMove(state, next.state, trust);
        converged = lastMove < settings.tolerance;
        if (step === 0) firstMove = lastMove;
        if (next === undefined) break;
        unknowns = next.unknowns;
        state = next.state;
        if (converged) break;
      }
      if (firstMove < settings.tolerance) break;

      /** The first of ever shorter steps that lowers the goal; undefined when none does. */
      function damped(from: State) {
        const before = objective(from, unknowns, trust);
        const { matrix, gradient } = normalEquations(from, unknowns, trust);
        order ??= eliminationOrder(matrix);
        const rightHandSide = new Map(gradient.map((g, i) => [i, g]));
        for (let attempt = 0; attempt < 8; attempt++) {
          const step = solve(factorise(matrix, order, damping), rightHandSide);
          const trial = unknowns.map((u, i) => u.map((v, k) => v + step[i][k]));
          const next = evaluate(trial, extra);
          if (objective(next, trial, trust) <= before + 1e-9 * Math.abs(before)) {
            damping = Math.max(damping / 10, 1e-9);
            return { state: next, unknowns: trial };
          }
          damping = Math.max(damping * 10, 1e-4);
        }
        return undefined;
      }
    }
  }

  /**
   * Readings hold the gloss or they do not. Where the tiles say clearly which, that is taken for sure
   * and everything else is fitted to it; else the share stays one of the unknowns.
   */
  function snapGloss(): 'included' | 'excluded' | undefined {
    if (!set.tiles.some((tile) => tile.glossLearned)) return undefined;
    const state = evaluate(unknowns, 0);
    const { matrix } = normalEquations(state, unknowns, trustOf(state.tiles, true));
    const variance = blockCovariance(factorise(matrix, order), set.sharedBlock)[
      GLOSS * SHARED + GLOSS
    ];
    const at = unknowns[set.sharedBlock][GLOSS];
    // ln odds of 1 against 0, both as far from the prior's middle.
    const odds = at / variance;
    if (Math.abs(odds) < GLOSS_CLEAR) return undefined;
    const side = Math.sign(odds) / 2;
    const { mean, precision } = beliefs[set.sharedBlock];
    beliefs = beliefs.with(set.sharedBlock, {
      mean: mean.with(GLOSS, side),
      precision: precision.with(GLOSS, HELD),
    });
    unknowns = unknowns.with(set.sharedBlock, unknowns[set.sharedBlock].with(GLOSS, side));
    descend(0, settings.maxIterations, NOISE_ROUNDS);
    return side > 0 ? 'included' : 'excluded';
  }

  /** What the tiles show about the family of each clay, as a new belief for the fit. */
  function familyBeliefs(): Belief[] {
    const state = evaluate(unknowns, 0);
    const { matrix } = normalEquations(state, unknowns, trustOf(state.tiles, true));
    const factor = factorise(matrix, order);
    learnCombinationSpread(factor);
    return beliefs.map((before, block) => {
      const families =
        block < set.clays.length ? prior.means[set.classes[block]].families : undefined;
      if (families === undefined) return before;
      const covariance = blockCovariance(factor, block);
      return beliefFromFamilies(families, free[block], before, unknowns[block], covariance, [
        STRENGTH_LATENT,
      ]);
    });
  }

  /**
   * How far combinations depart from simple addition, by the evidence of those that were baked.
   * Source: [MacKay1992]
   */
  function learnCombinationSpread(factor: BlockFactor): void {
    const { combinationSpread: usual, combinationWeight: weight } = settings;
    let squares = weight * usual ** 2;
    let seen = weight;
    for (const { block } of set.combinations.values()) {
      const covariance = blockCovariance(factor, block);
      const size = set.blockSizes[block];
      for (let k = 0; k < size; k++) {
        squares += unknowns[block][k] ** 2;
        // What the tiles say of it, as a share of all that is known.
        seen += Math.max(0, 1 - covariance[k * size + k] / combinationSpread ** 2);
      }
    }
    combinationSpread = Math.sqrt(squares / seen);
    const precision = 1 / combinationSpread ** 2;
    for (const { block } of set.combinations.values()) {
      const size = set.blockSizes[block];
      beliefs = beliefs.with(block, {
        mean: new Float64Array(size),
        precision: new Float64Array(size).fill(precision),
      });
    }
  }

  /** Everything at one point; that of the last point is known. */
  function evaluate(at: typeof unknowns, extra: number): State {
    if (seen?.at !== at || seen.extra !== extra) seen = { at, extra, state: stateAt(at, extra) };
    return seen.state;
  }

  function stateAt(at: readonly Float64Array[], extra: number): State {
    const coefficients = set.clays.map((_, i) =>
      coefficientsOf(prior, set.classes[i], at[i], pinned[i]),
    );
    const [dilution, lnScale, shareExponent, gloss] = at[set.sharedBlock];
    const physics = {
      dilution,
      shareExponent,
      scatteringPerMm: Math.exp(settings.lnScatteringPerMm.mean + lnScale),
    };
    const learnedSurface = claySurface(0.5 + gloss);
    const tiles = set.tiles.map((given) => {
      const tile = given.glossLearned ? { ...given, surface: learnedSurface } : given;
      const parts = withEffectOffset(tile, at);
      const mix = mixSlopes(parts, coefficients, set.classes, physics, tile.surface, tile.film);
      const slopes = tileSlopes(
        tile,
        mix,
        prior,
        set.classes,
        pinned,
        { sharedBlock: set.sharedBlock, sharedSize: SHARED },
        extra,
      );
      const residual = tile.observed.map((value, r) => value - slopes.predicted[r]);
      for (const { block, share } of tile.effects) {
        for (let r = 0; r < 3; r++) residual[r] -= share * at[block][r];
      }
      if (tile.photoBlock >= 0 && tile.observable.kind === 'lab') {
        for (let r = 0; r < 3; r++) residual[r] -= at[tile.photoBlock][r];
      }
      return { tile, slopes, residual };
    });
    return { coefficients, physics, tiles };
  }

  /** Of the blocks on the diagonal, the lower half alone. */
  function normalEquations(now: State, at: readonly Float64Array[], { roots, weights }: Trust) {
    const matrix = new BlockMatrix(set.blockSizes);
    const gradient = set.blockSizes.map((size) => new Float64Array(size));
    set.blockSizes.forEach((size, i) => {
      const block = matrix.block(i, i);
      for (let k = 0; k < size; k++) {
        const { mean, precision } = beliefs[i];
        block[k * size + k] = precision[k];
        gradient[i][k] = -precision[k] * (at[i][k] - mean[k]);
      }
    });
    now.tiles.forEach(({ slopes, residual }, t) => {
      const d = residual.length;
      const white = whitened(roots[t], residual, d);
      const entries = [...slopes.blocks].map(
        ([i, jacobian]) => [i, whitened(roots[t], jacobian, d)] as const,
      );
      const weight = weights[t];
      for (const [i, ji] of entries) {
        const ni = set.blockSizes[i];
        for (let r = 0; r < d; r++) {
          const m = weight * white[r];
          for (let k = 0; k < ni; k++) gradient[i][k] += ji[r * ni + k] * m;
        }
        for (const [j, jj] of entries) {
          if (j > i) continue;
          const nj = set.blockSizes[j];
          const block = matrix.block(i, j);
          for (let r = 0; r < d; r++) {
            for (let k = 0; k < ni; k++) {
              const left = weight * ji[r * ni + k];
              if (left === 0) continue;
              const end = i === j ? k + 1 : nj;
              for (let l = 0; l < end; l++) block[k * nj + l] += left * jj[r * nj + l];
            }
          }
        }
      }
    });
    return { matrix, gradient };
  }

  function priorCost(at: readonly Float64Array[]): number {
    let sum = 0;
    at.forEach((u, i) => {
      const { mean, precision } = beliefs[i];
      for (let k = 0; k < u.length; k++) sum += precision[k] * (u[k] - mean[k]) ** 2;
    });
    return sum / 2;
  }

  function objective(now: State, at: readonly Float64Array[], { roots, weights }: Trust): number {
    let sum = priorCost(at);
    now.tiles.forEach(({ residual }, t) => {
      sum += (weights[t] * distanceOf(roots[t], residual)) / 2;
    });
    return sum;
  }
}

interface State {
  readonly coefficients: readonly Coefficients[];
  readonly physics: SharedPhysics;
  readonly tiles: readonly SeenTile[];
}

/** K and S of a clay; the reference white scatters 1 at every band, which defines the scale. */
export function coefficientsOf(
  prior: Prior,
  clayClass: ClayClass,
  latent: Float64Array,
  pinned: boolean,
): Coefficients {
  if (!pinned) return coefficientsFromLatent(prior, clayClass, latent);
  const free = latent.slice();
  free[STRENGTH_LATENT] = 0;
  const { absorption } = coefficientsFromLatent(prior, clayClass, free);
  return { absorption, scattering: absorption.map(() => 1) };
}

/** Whether a clay is the white whose scattering is 1 at every band. */
export function isPinned(set: PreparedSet, clay: number): boolean {
  return set.reference[0] === clay && set.classes[clay] === 'white';
}

/** Shares of a tile with the departure of its combination applied, summing to 1 again. */
export function withEffectOffset(
  tile: PreparedTile,
  unknowns: readonly Float64Array[],
): ClayShare[] {
  if (tile.combinationBlock < 0) return [...tile.parts];
  const departure = unknowns[tile.combinationBlock];
  const raw = tile.parts.map(({ share }, i) =>
    i === tile.mainPart ? share : share * Math.exp(departure[i - 1]),
  );
  const total = raw.reduce((sum, share) => sum + share, 0);
  return tile.parts.map(({ clay }, i) => ({ clay, share: raw[i] / total }));
}

function largestMove(before: State, after: State, trust: Trust): number {
  let largest = 0;
  before.tiles.forEach((t, i) => {
    const d = t.residual.length;
    for (let r = 0; r < d; r++) {
      const move = Math.abs(t.residual[r] - after.tiles[i].residual[r]);
      largest = Math.max(largest, move / Math.sqrt(trust.tiles[i].slopes.noise[r * d + r]));
    }
  });
  return largest;
}
