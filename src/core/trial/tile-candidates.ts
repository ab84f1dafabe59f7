import type { ClayModel } from '../clay/clay-model.ts';
import { type ClayShare, sharesOfParts } from '../clay/mixture.ts';
import { invalidInput } from '../errors.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';
import { seededChance } from '../numeric/seeded-chance.ts';

/** Parts of two clays worth cutting; a ratio between two of these shows little new. */
const RATIOS = [
  [1, 1],
  [1, 2],
  [1, 3],
  [1, 5],
  [1, 7],
  [1, 11],
  [1, 15],
] as const;
/**
 * With many clays, pairs of colours are offered only in these ratios, so that the choice takes
 * seconds.
 */
const FEW_RATIOS = [1, 3];
const MANY_CLAYS = 12;

/**
 * Tiles of one or two clays in small whole parts: each clay alone unless it was baked, and all
 * pairs, including those paled with a white and darkened with a black.
 * Shape:   clays by index -> tiles of at most `parts` parts
 * Refuses: parts that are not whole and positive -> invalid-input
 */
export function candidateTiles(
  { clays: known }: Pick<ClayModel, 'clays'>,
  clays: readonly number[],
  parts: number,
): WholeParts[] {
  if (!Number.isInteger(parts) || parts < 1) {
    throw invalidInput(`A tile of ${parts} parts; it must be a whole number from 1.`);
  }
  const tiles: WholeParts[] = clays
    .filter((clay) => known[clay].ownTiles === 0)
    .map((clay) => [{ clay, parts: 1 }]);
  const plain = (clay: number) =>
    known[clay].clayClass === 'white' || known[clay].clayClass === 'black';
  clays.forEach((one, i) => {
    for (const other of clays.slice(i + 1)) {
      const narrow = clays.length > MANY_CLAYS && !plain(one) && !plain(other);
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
    { clay: one, parts },
    { clay: other, parts: others },
  ];
}

/** Most parts of one clay in an ordinary mix. */
const MOST_OF_ONE = 8;

/**
 * Mixes that represent all mixes of two and three clays in whole parts: every clay occurs equally
 * often, with every other in turn. The same clays give the same mixes.
 * Shape:   clays by index -> `count` mixes; a single clay gives itself
 */
export function representativeMixes(clays: readonly number[], count: number): ClayShare[][] {
  if (clays.length < 2) return clays.map((clay) => [{ clay, share: 1 }]);
  const { uniform } = seededChance(20);
  let pool: number[] = [];
  const draw = (without: readonly number[]): number => {
    if (pool.every((clay) => without.includes(clay))) pool = [...pool, ...clays];
    const free = pool.filter((clay) => !without.includes(clay));
    const clay = free[Math.floor(uniform() * free.length)];
    pool.splice(pool.indexOf(clay), 1);
    return clay;
  };
  return Array.from({ length: count }, (_, i) => {
    const chosen: number[] = [];
    const size = Math.min(clays.length, 2 + (i % 2));
    while (chosen.length < size) chosen.push(draw(chosen));
    const parts = chosen.map(() => 1 + Math.floor(uniform() * MOST_OF_ONE));
    return sharesOfParts(chosen.map((clay, k) => ({ clay, parts: parts[k] })));
  });
}
