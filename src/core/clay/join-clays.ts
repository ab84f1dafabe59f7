import type { BlockFactor, FactorBlock } from './block-cholesky.ts';
import type { ClayModel, ModelAlternative, ModelClay } from './clay-model.ts';

/** Clays to join to a model, and what is known of each. */
export interface JoinedClays {
  readonly clays: readonly ModelClay[];
  /** The same by another explanation of the model's readings. */
  readonly byAlternative: (other: ModelAlternative) => ModelAlternative['clays'];
  /**
   * Column of the factor of each, by position in the joined factor. Those of clays that others depend on come
   * `last`; those of clays that depend on what the model knows come `first`.
   */
  readonly columns: readonly (readonly FactorBlock[])[];
  readonly place: 'first' | 'last';
}

/**
 * A model with further clays after its own, each a block of unknowns with its own column of the factor.
 * Holds:   predictions without the new clays stay as they are
 */
export function joinClays(model: ClayModel, joined: JoinedClays): ClayModel {
  const { clays, columns, place } = joined;
  const own = model.clays.length;
  // Clays are the first blocks, so that all others move up.
  const moved = (block: number) => (block < own ? block : block + clays.length);
  const combination = <T extends { readonly block: number }>(one: T): T => ({
    ...one,
    block: moved(one.block),
  });
  return {
    ...model,
    factor: joinedFactor(
      { ...model.factor, order: model.factor.order.map(moved) },
      clays.map((_, i) => own + i),
      columns,
      place,
    ),
    sharedBlock: moved(model.sharedBlock),
    combinations: model.combinations.map(combination),
    ...(model.alternatives === undefined
      ? {}
      : {
          alternatives: model.alternatives.map((other) => ({
            ...other,
            combinations: other.combinations.map(combination),
            clays: [...other.clays, ...joined.byAlternative(other)],
          })),
        }),
    clays: [
      ...model.clays.map((clay) =>
        clay.effect === undefined ? clay : { ...clay, effect: combination(clay.effect) },
      ),
      ...clays.map((clay) =>
        clay.effect === undefined ? clay : { ...clay, effect: combination(clay.effect) },
      ),
    ],
  };
}

function joinedFactor(
  factor: BlockFactor,
  blocks: readonly number[],
  columns: JoinedClays['columns'],
  place: JoinedClays['place'],
): BlockFactor {
  // Unknowns of a clay are as many in every model, and block 0 is a clay.
  const size = factor.sizes[factor.order.indexOf(0)];
  const sizes = blocks.map(() => size);
  if (place === 'last') {
    return {
      order: [...factor.order, ...blocks],
      sizes: [...factor.sizes, ...sizes],
      columns: [...factor.columns, ...columns],
    };
  }
  const after = factor.columns.map((column) =>
    column.map(({ row, values }) => ({ row: row + blocks.length, values })),
  );
  return {
    order: [...blocks, ...factor.order],
    sizes: [...sizes, ...factor.sizes],
    columns: [...columns, ...after],
  };
}
