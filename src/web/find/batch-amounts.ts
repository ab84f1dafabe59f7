import { batchOf } from '../../core/mixes/amounts.ts';
import { type Basis, USUAL_DENSITY } from '../../core/mixes/mix-graph.ts';
import type { Studio } from './studio.ts';
import type { Hand } from './use-hand.ts';

/**
 * Grams of each clay of a batch, by block; a clay whose density is not known counts with the usual one.
 * Returns: nothing while no batch size is given
 */
export function batchAmounts(
  shown: Hand,
  studio: Studio,
  basis: Basis,
  batchG: number | undefined,
): ReadonlyMap<string, number> {
  const used = shown.filter(({ parts }) => parts > 0);
  if (batchG === undefined || used.length === 0) return new Map();
  const { amounts } = batchOf(
    used.map(({ blockId, parts }) => ({
      clay: blockId,
      parts,
      densityGPerCm3: (studio.byBlock.get(blockId)?.density ?? USUAL_DENSITY).value,
    })),
    basis,
    { massG: batchG },
  );
  return new Map(amounts.map(({ clay, massG }) => [clay, massG]));
}
