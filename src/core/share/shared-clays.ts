import type { ClayClass } from '../clay/clay-class.ts';
import { widening } from '../clay/data-quality.ts';
import type { Effect } from '../clay/effect-offset.ts';
import type { SharedPhysics } from '../clay/mixture.ts';
import type { Predictor } from '../clay/predict.ts';
import type { Prior } from '../clay/prior.ts';
import type { Gloss } from '../optics/surface.ts';
import { type BeliefDirection, clayDirections, correlations, deviations } from './directions.ts';

/** A clay as it leaves the studio: its curves and how sure they are, and nothing of the tiles behind. */
export interface SharedClay {
  readonly name: string;
  readonly clayClass: ClayClass;
  readonly pinned: boolean;
  /** 24 latent coefficients. */
  readonly latent: Float64Array;
  /** Ways in which the clay may differ, one standard deviation each: 24 latent coefficients. */
  readonly modes: readonly Float64Array[];
  readonly effect?: {
    readonly effect: Effect;
    /** CIELAB, with its standard deviation an axis. */
    readonly departure: Float64Array;
    readonly spread: Float64Array;
  };
}

/** How one combination of clays departs from simple addition, the main clay first. */
export interface SharedCombination {
  readonly clays: readonly number[];
  /** ln of the factor on each clay after the first, and its standard deviation. */
  readonly departures: Float64Array;
  readonly spread: Float64Array;
}

/** Clays that predict without the tiles they were learned from. */
export interface SharedClays {
  readonly prior: Prior;
  readonly clays: readonly SharedClay[];
  readonly physics: SharedPhysics;
  /** Standard deviations of the four shared unknowns: dilution, ln scattering per mm, exponent of shares, gloss. */
  readonly physicsSpread: Float64Array;
  readonly combinations: readonly SharedCombination[];
  readonly combinationSpread: number;
  readonly missFactor: number;
  readonly gloss: Gloss;
  /**
   * How the unknowns go together, each in its own standard deviations: the modes of each clay, the departures
   * of each special clay, the four shared unknowns, the departures of each combination. D x D by rows; absent
   * where there are too many, and then they are independent.
   */
  readonly correlation?: Float64Array;
}

/** Modes of a clay, as many as leave the unknowns below `MOST_UNKNOWNS`. */
const MODES = [6, 5, 4, 3] as const;
export const MOST_MODES = MODES[0];
/** Past it the correlation would be larger than all curves. */
export const MOST_UNKNOWNS = 460;
/** The four shared unknowns of a model. */
export const SHARED_UNKNOWNS = 4;

/**
 * Some clays of a model without its tiles.
 * Shape:   indices into the model, in the order of the answer; a combination stays if all its clays do
 * Method:  the belief about each clay is shared along the few directions that move the colours of its mixes
 *          most, and how these go together. Open explanations of wrong tiles become part of the width
 */
export function sharedClays(predictor: Predictor, chosen: readonly number[]): SharedClays {
  const { model } = predictor;
  const place = new Map(chosen.map((clay, i) => [clay, i]));
  const combinations = model.combinations.flatMap(({ block, main, others, departures }) => {
    const clays = [main, ...others].map((clay) => place.get(clay) ?? -1);
    if (clays.includes(-1)) return [];
    return [{ block, clays, departures, spread: deviations(model, block) }];
  });
  const effects = chosen.flatMap((clay) => model.clays[clay].effect ?? []);
  const learned = deviations(model, model.sharedBlock);
  const physicsSpread = Float64Array.from({ length: SHARED_UNKNOWNS }, (_, i) => learned[i] ?? 0);
  const rest =
    3 * effects.length +
    SHARED_UNKNOWNS +
    combinations.reduce((sum, { spread }) => sum + spread.length, 0);
  const most = MODES.find((count) => count * chosen.length + rest <= MOST_UNKNOWNS);
  const directions = chosen.map((clay) => clayDirections(predictor, clay, most ?? 4));
  const axes = (block: number, spread: ArrayLike<number>): BeliefDirection[] =>
    Array.from({ length: spread.length }, (_, i) => ({
      block,
      // A model of an older file has fewer shared unknowns: the others do not vary.
      at: i < sizeOf(block) ? unit(sizeOf(block), i) : undefined,
    }));
  const sizeOf = (block: number) => deviations(model, block).length;
  const all: BeliefDirection[] = [
    ...directions.flatMap(({ directions: own }) => own),
    ...effects.flatMap(({ block }) => axes(block, new Float64Array(3))),
    ...axes(model.sharedBlock, physicsSpread),
    ...combinations.flatMap(({ block, spread }) => axes(block, spread)),
  ];
  return {
    prior: model.prior,
    clays: chosen.map((clay, i) => {
      const { name, clayClass, pinned, latent, effect } = model.clays[clay];
      const special =
        effect === undefined
          ? {}
          : {
              effect: {
                effect: effect.effect,
                departure: effect.departure,
                // Wider or narrower with its clay: the two are known from one tile.
                spread: deviations(model, effect.block).map(
                  (v) => v * Math.sqrt(widening(model.clays[clay])),
                ),
              },
            };
      return { name, clayClass, pinned, latent, modes: directions[i].modes, ...special };
    }),
    physics: model.physics,
    physicsSpread,
    combinations: combinations.map(({ block: _, ...rest }) => rest),
    combinationSpread: model.combinationSpread,
    missFactor: model.missFactor,
    gloss: model.geometry,
    ...(most === undefined ? {} : { correlation: correlations(model.factor, all) }),
  };
}

function unit(size: number, at: number): Float64Array {
  const vector = new Float64Array(size);
  vector[at] = 1;
  return vector;
}
