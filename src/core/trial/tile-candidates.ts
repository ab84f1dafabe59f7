import type { ClayModel } from '../clay/clay-model.ts';
import { type MixPart, sharesOfParts } from '../clay/mixture.ts';
import { invalidInput } from '../errors.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import type { WholeParts } from './whole-parts.ts';

/** Parts of two parents that are worth cutting; between them one part more tells little new. */
const RATIOS = [
  [1, 1],
  [1, 2],
  [1, 3],
  [1, 5],
  [1, 7],
  [1, 11],
  [1, 15],
] as const;
/** With many parents, two colours are only offered in these, so that the choice takes seconds. */
const FEW_RATIOS = [1, 3];
const MANY_PARENTS = 12;

/**
 * Tiles of one or two parents in small whole parts: each alone unless it was, and all pairs, so
 * those paled with a white and darkened with a black too.
 * Shape:   parents by index -> tiles of at most `parts` parts
 * Refuses: parts that are not whole and positive -> invalid-input
 */
export function candidateTiles(
  { parents: known }: Pick<ClayModel, 'parents'>,
  parents: readonly number[],
  parts: number,
): WholeParts[] {
  if (!Number.isInteger(parts) || parts < 1) {
    throw invalidInput(`A tile of ${parts} parts; it must be a whole number from 1.`);
  }
  const tiles: WholeParts[] = parents
    .filter((parent) => known[parent].ownTiles === 0)
    .map((parent) => [{ parent, parts: 1 }]);
  const plain = (parent: number) =>
    known[parent].clayClass === 'white' || known[parent].clayClass === 'black';
  parents.forEach((one, i) => {
    for (const other of parents.slice(i + 1)) {
      const narrow = parents.length > MANY_PARENTS && !plain(one) && !plain(other);
      for (const [few, many] of RATIOS) {
        if (few + many > parts || (narrow && !FEW_RATIOS.includes(many))) continue;
        tiles.push(tileOf(one, many, other, few));
        if (few !== many) tiles.push(tileOf(other, many, one, few));
      }
    }
  });
  return tiles;
}

function tileOf(one: number, parts: number, other: number, others: number): WholeParts {
  return [
    { parent: one, parts },
    { parent: other, parts: others },
  ];
}

/** Most parts of one parent in an ordinary mix. */
const MOST_OF_ONE = 8;

/**
 * Mixes that stand for all mixes of two and three parents in whole parts: every parent comes in as
 * often, with every other in turn. The same parents give the same mixes.
 * Shape:   parents by index -> `count` mixes; a lone parent gives itself
 */
export function representativeMixes(parents: readonly number[], count: number): MixPart[][] {
  if (parents.length < 2) return parents.map((parent) => [{ parent, share: 1 }]);
  const { uniform } = seededChance(20);
  let pool: number[] = [];
  const draw = (without: readonly number[]): number => {
    if (pool.every((parent) => without.includes(parent))) pool = [...pool, ...parents];
    const free = pool.filter((parent) => !without.includes(parent));
    const parent = free[Math.floor(uniform() * free.length)];
    pool.splice(pool.indexOf(parent), 1);
    return parent;
  };
  return Array.from({ length: count }, (_, i) => {
    const chosen: number[] = [];
    const size = Math.min(parents.length, 2 + (i % 2));
    while (chosen.length < size) chosen.push(draw(chosen));
    const parts = chosen.map(() => 1 + Math.floor(uniform() * MOST_OF_ONE));
    return sharesOfParts(chosen.map((parent, k) => ({ parent, parts: parts[k] })));
  });
}
