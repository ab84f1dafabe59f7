import type { Gloss } from '../optics/surface.ts';
import type { BlockFactor } from './block-cholesky.ts';
import type { ClayClass } from './clay-class.ts';
import type { Effect } from './effect-offset.ts';
import { coefficientsOf, isPinned } from './fit.ts';
import type { Fit } from './fit-result.ts';
import { type LeftOutTile, leftOutTiles, missFactorOf } from './left-out.ts';
import type { SharedPhysics } from './mixture.ts';
import { combinationKey } from './prepare.ts';
import type { Coefficients, Prior } from './prior.ts';

/** One clay as learned. */
export interface ModelClay {
  readonly name: string;
  readonly clayClass: ClayClass;
  /** 24 latent coefficients at the optimum. */
  readonly latent: Float64Array;
  /**
   * Clays of one group are joined by tiles; the scales of two groups are independent of each other.
   */
  readonly group: number;
  /** The white whose scattering is 1 at every band. */
  readonly pinned: boolean;
  /** Readings that hold this clay, and those of it alone. */
  readonly tiles: number;
  readonly ownTiles: number;
  /** It came with somebody else's share file. */
  readonly shared?: true;
  /**
   * A special clay: how it departs from its body colour when alone, CIELAB, and the block of that
   * departure.
   */
  readonly effect?: {
    readonly effect: Effect;
    readonly block: number;
    readonly departure: Float64Array;
  };
}

/** How one combination of clays departs from simple addition. */
export interface ModelCombination {
  readonly block: number;
  readonly main: number;
  readonly others: readonly number[];
  /** Natural logarithm of the factor on each of `others`. */
  readonly departures: Float64Array;
}

/** What was learned of a set of clays. Replaced as a whole, never edited in place. */
export interface ClayModel {
  readonly prior: Prior;
  readonly clays: readonly ModelClay[];
  readonly physics: SharedPhysics;
  readonly combinations: readonly ModelCombination[];
  /** Block of the two shared unknowns (dilution, ln scattering per mm). */
  readonly sharedBlock: number;
  /** Factor of the precision of all unknowns; clays are blocks 0 to clays - 1. */
  readonly factor: BlockFactor;
  readonly combinationSpread: number;
  /** Factor on every standard deviation, 1 or more, see `missFactorOf`. */
  readonly missFactor: number;
  /** How most of the readings saw gloss; predictions use the same by default. */
  readonly geometry: Gloss;
  /**
   * Where tiles seem wrong and nobody has settled how: other explanations, with what they say of the
   * clays. The model itself is that of the likeliest.
   */
  readonly alternatives?: readonly ModelAlternative[];
}

/** The clays by another explanation of the same readings; clays in the order of the model. */
export interface ModelAlternative {
  /** 0-1; the model itself has the rest. */
  readonly probability: number;
  readonly clays: readonly Pick<ModelClay, 'clayClass' | 'latent' | 'pinned'>[];
  readonly physics: SharedPhysics;
  readonly combinations: readonly ModelCombination[];
}

/** The part of a fit that predictions need, without the tiles. */
export function modelFromFit(
  fit: Fit,
  leftOut: readonly LeftOutTile[] = leftOutTiles(fit),
  alternatives: readonly ModelAlternative[] = [],
): ClayModel {
  const { set } = fit;
  const effectOf = (i: number) => {
    const own = set.effects[i];
    return own === undefined ? {} : { effect: { ...own, departure: fit.unknowns[own.block] } };
  };
  return {
    prior: fit.prior,
    clays: set.clays.map((name, i) => ({
      name,
      clayClass: set.classes[i],
      latent: fit.unknowns[i],
      group: set.group[i],
      pinned: isPinned(set, i),
      tiles: set.tiles.filter((tile) => tile.parts.some((part) => part.clay === i)).length,
      ownTiles: set.tiles.filter((tile) => tile.parts.length === 1 && tile.parts[0].clay === i)
        .length,
      ...effectOf(i),
    })),
    physics: fit.physics,
    combinations: combinationsOfFit(fit),
    sharedBlock: set.sharedBlock,
    factor: fit.factor,
    combinationSpread: fit.combinationSpread,
    missFactor: missFactorOf(leftOut),
    geometry: glossOfMost(fit),
    ...(alternatives.length === 0 ? {} : { alternatives }),
  };
}

/** A fit of the same clays as an alternative to the model of another. */
export function alternativeFromFit(
  fit: Fit,
  probability: number,
  names: readonly string[],
): ModelAlternative {
  const { set } = fit;
  const places = names.map((name) => set.clays.indexOf(name));
  const inModel = (clay: number) => names.indexOf(set.clays[clay]);
  return {
    probability,
    clays: places.map((i) => ({
      clayClass: set.classes[i],
      latent: fit.unknowns[i],
      pinned: isPinned(set, i),
    })),
    physics: fit.physics,
    combinations: combinationsOfFit(fit).map(({ main, others, ...rest }) => ({
      ...rest,
      main: inModel(main),
      others: others.map(inModel),
    })),
  };
}

/** The model as an alternative has it, with the uncertainty of the model. */
export function modelByAlternative(model: ClayModel, other: ModelAlternative): ClayModel {
  const { combinations, physics } = other;
  const clays = model.clays.map((clay, i) => ({ ...clay, ...other.clays[i] }));
  return { ...model, clays, combinations, physics };
}

function combinationsOfFit({ set, unknowns }: Fit): ModelCombination[] {
  return [...set.combinations.values()].map(({ block, main, others }) => ({
    block,
    main,
    others,
    departures: unknowns[block],
  }));
}

/** K and S of every clay, in the model's order. */
export function coefficientsOfModel({
  prior,
  clays,
}: {
  readonly prior: Prior;
  readonly clays: ModelAlternative['clays'];
}): Coefficients[] {
  return clays.map((p) => coefficientsOf(prior, p.clayClass, p.latent, p.pinned));
}

/** The combination of exactly these clays, if a tile of it was read. */
export function combinationOf(
  model: Pick<ClayModel, 'combinations'>,
  clays: readonly number[],
): ModelCombination | undefined {
  const key = combinationKey(clays);
  return model.combinations.find((c) => combinationKey([c.main, ...c.others]) === key);
}

/** How most of the readings saw the gloss; what the fit found where nobody said. */
function glossOfMost({ set, unknowns, glossSnapped }: Fit): Gloss {
  const learned = set.tiles.filter((tile) => tile.glossLearned).length;
  const included = set.tiles.filter(
    (tile) => !tile.glossLearned && tile.surface.glossShare === 1,
  ).length;
  if (learned * 2 > set.tiles.length) {
    return glossSnapped ?? 0.5 + unknowns[set.sharedBlock][3];
  }
  return included * 2 >= set.tiles.length - learned ? 'included' : 'excluded';
}
