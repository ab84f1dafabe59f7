import type { BlockFactor } from '../clay/block-cholesky.ts';
import type { ClayModel, ModelClay, ModelCombination } from '../clay/clay-model.ts';
import { combinationKey } from '../clay/prepare.ts';
import { modelOfShared } from './model-of-shared.ts';
import type { SharedClays } from './shared-clays.ts';
import { type Anchors, scaleBetween, sharedInFrame } from './shared-in-frame.ts';

/** A model with clays of another book behind its own. */
export interface JoinedShared {
  readonly model: ClayModel;
  /** Where each shared clay is in the model; an anchor is the own clay. */
  readonly placeOf: readonly number[];
}

/**
 * One model of the own clays and of those another book shares, so that mixes of both can be predicted.
 * Shape:   `anchors`: clays that are in both
 * Holds:   own clays, what is known of them, and colours of their mixes stay; what is known of the two
 *          books is independent; the own physics counts for all
 */
export function joinShared(own: ClayModel, shared: SharedClays, anchors: Anchors): JoinedShared {
  return joinFramed(
    own,
    sharedInFrame(shared, own.prior, scaleBetween(own, shared, anchors)),
    anchors,
  );
}

/** The same for clays that are in the terms of the own model already. */
export function joinFramed(own: ClayModel, framed: SharedClays, anchors: Anchors): JoinedShared {
  const theirs = modelOfShared(framed);
  const ownOf = new Map(anchors.map((anchor) => [anchor.theirs, anchor.own]));
  const added = theirs.clays.flatMap((_, i) => (ownOf.has(i) ? [] : [i]));
  const count = own.clays.length;
  const placeOf = theirs.clays.map((_, i) => ownOf.get(i) ?? count + added.indexOf(i));
  const ownBlock = (block: number) => (block < count ? block : block + added.length);
  const rest = own.factor.order.length + added.length;
  // Blocks of no clay of the joined model come after all others.
  const others = theirs.factor.order.toSorted((a, b) => a - b).filter((b) => !added.includes(b));
  const theirBlock = (block: number) => {
    const at = added.indexOf(block);
    return at >= 0 ? count + at : rest + others.indexOf(block);
  };
  const linked = own.clays[anchors[0].own].group;
  const addedClays = added.map((i) => ({
    ...inBlocks(theirs.clays[i], theirBlock),
    group: linked,
    shared: true as const,
  }));
  const known = new Set(
    own.combinations.map(({ main, others }) => combinationKey([main, ...others])),
  );
  const theirCombinations = theirs.combinations
    .map(
      ({ block, main, others, departures }): ModelCombination => ({
        block: theirBlock(block),
        main: placeOf[main],
        others: others.map((clay) => placeOf[clay]),
        departures,
      }),
    )
    .filter(({ main, others }) => !known.has(combinationKey([main, ...others])));
  return {
    placeOf,
    model: {
      ...own,
      clays: [...own.clays.map((clay) => inBlocks(clay, ownBlock)), ...addedClays],
      combinations: [
        ...own.combinations.map((one) => ({ ...one, block: ownBlock(one.block) })),
        ...theirCombinations,
      ],
      sharedBlock: ownBlock(own.sharedBlock),
      factor: sideBySide(own.factor, ownBlock, theirs.factor, theirBlock),
      ...(own.alternatives === undefined
        ? {}
        : {
            alternatives: own.alternatives.map((other) => ({
              ...other,
              clays: [...other.clays, ...addedClays],
              combinations: [
                ...other.combinations.map((one) => ({ ...one, block: ownBlock(one.block) })),
                ...theirCombinations,
              ],
            })),
          }),
    },
  };
}

function inBlocks(clay: ModelClay, blockOf: (block: number) => number): ModelClay {
  const { effect } = clay;
  return effect === undefined
    ? clay
    : { ...clay, effect: { ...effect, block: blockOf(effect.block) } };
}

/** The factor of two beliefs that know nothing of each other. */
function sideBySide(
  one: BlockFactor,
  oneBlock: (block: number) => number,
  other: BlockFactor,
  otherBlock: (block: number) => number,
): BlockFactor {
  const after = one.order.length;
  return {
    order: [...one.order.map(oneBlock), ...other.order.map(otherBlock)],
    sizes: [...one.sizes, ...other.sizes],
    columns: [
      ...one.columns,
      ...other.columns.map((column) =>
        column.map(({ row, values }) => ({ row: row + after, values })),
      ),
    ],
  };
}
