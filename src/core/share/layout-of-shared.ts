import type { ClayModel } from '../clay/clay-model.ts';
import type { SharedClays } from './shared-clays.ts';

/** A clay model without its factor, and the spreads of the blocks after those of the clays. */
export interface SharedLayout extends Omit<ClayModel, 'factor'> {
  /** Special clays, the shared unknowns, combinations: one block each. */
  readonly spreads: readonly Float64Array[];
}

/** Which block of unknowns is what: clays first, then special clays, the shared unknowns, combinations. */
export function layoutOfShared(shared: SharedClays): SharedLayout {
  const { prior, clays, physics, combinations, combinationSpread, missFactor, gloss } = shared;
  const special = clays.flatMap(({ effect }) => effect ?? []);
  const sharedBlock = clays.length + special.length;
  let effects = clays.length;
  return {
    prior,
    clays: clays.map(({ modes: _, effect, ...clay }) => ({
      ...clay,
      group: 0,
      tiles: 0,
      ownTiles: 0,
      ...(effect === undefined
        ? {}
        : { effect: { effect: effect.effect, departure: effect.departure, block: effects++ } }),
    })),
    physics,
    combinations: combinations.map(({ clays: [main, ...others], departures }, i) => ({
      block: sharedBlock + 1 + i,
      main,
      others,
      departures,
    })),
    sharedBlock,
    combinationSpread,
    missFactor,
    geometry: gloss,
    spreads: [
      ...special.map(({ spread }) => spread),
      shared.physicsSpread,
      ...combinations.map(({ spread }) => spread),
    ],
  };
}
