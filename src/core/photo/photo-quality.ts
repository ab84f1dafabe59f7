import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { plusMinusOf } from '../verdict/verdict.ts';

export interface PhotoQuality {
  /** Size of the ± of a colour, dE00; absent where there is no tile. */
  readonly colours?: number;
  /** Size of the ± of the difference of two similar tiles; absent where there are no such two. */
  readonly differences?: number;
}

/** Colours closer than this are similar, dE00; the errors of others are less related. */
const LIKE = 10;
/** Rounding of large numbers that cancel, CIELAB units squared; keeps the rest a covariance. */
const ROUNDING = 1e-9;

/**
 * How far off the colours of one photo are on average, and their differences.
 * Shape:   Lab of n tiles, covariance of all together 3n x 3n by rows, which of them count
 * Units:   dE00, root mean square over tiles, and over pairs of them closer than 10
 * Holds:   an error that all tiles share does not change their differences
 */
export function photoQuality(
  labs: readonly Lab[],
  covariance: ArrayLike<number>,
  counts: readonly boolean[],
): PhotoQuality {
  const size = 3 * labs.length;
  const at = (i: number, j: number, r: number, s: number) =>
    covariance[(3 * i + r) * size + 3 * j + s];
  const block = (of: (r: number, s: number) => number) =>
    Float64Array.from({ length: 9 }, (_, k) => of(Math.floor(k / 3), k % 3));
  const used = labs.map((_, i) => i).filter((i) => counts[i]);
  const squares = used.map(
    (i) =>
      plusMinusOf(
        labs[i],
        block((r, s) => at(i, i, r, s)),
      ) ** 2,
  );
  const between: number[] = [];
  for (const [k, i] of used.entries()) {
    for (const j of used.slice(0, k)) {
      if (deltaE2000(labs[i], labs[j]) >= LIKE) continue;
      const difference = block(
        (r, s) =>
          at(i, i, r, s) +
          at(j, j, r, s) -
          at(i, j, r, s) -
          at(j, i, r, s) +
          (r === s ? ROUNDING : 0),
      );
      between.push(plusMinusOf(labs[i], difference) ** 2);
    }
  }
  return {
    ...(squares.length === 0 ? {} : { colours: rootMean(squares) }),
    ...(between.length === 0 ? {} : { differences: rootMean(between) }),
  };
}

function rootMean(squares: readonly number[]): number {
  return Math.sqrt(squares.reduce((sum, v) => sum + v, 0) / squares.length);
}
