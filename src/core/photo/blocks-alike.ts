import { type JointFit, type JointShown, LEAST_ALIKE } from './joint-light.ts';

/** Bounds of how many blocks count as one, and the squares that show it: side, blocks, number. */
const MOST_ALIKE = 80;
const SQUARE = 0.3;
const FULL_SQUARE = 15;
const LEAST_SQUARES = 8;

/**
 * How many neighbouring blocks say as much as one: the mean over a large square of blocks varies
 * more than it would if each block had its own share of the pattern.
 */
export function blocksAlike({ places, patchSpread }: JointShown, fit: JointFit): number {
  const most = 3 * fit.blockSpread;
  const squares = new Map<string, { sum: number; count: number }>();
  let [squared, count] = [0, 0];
  for (let i = 0; i < places.length; i++) {
    if (patchSpread[i] !== undefined) continue;
    const miss = Math.min(most, Math.max(-most, fit.misses[i]));
    squared += miss * miss;
    count++;
    const name = places[i].map((v) => Math.floor(v / SQUARE)).join(' ');
    const square = squares.get(name) ?? { sum: 0, count: 0 };
    squares.set(name, { sum: square.sum + miss, count: square.count + 1 });
  }
  // A surface without noise, as in a drawing, has no pattern.
  if (squared === 0) return LEAST_ALIKE;
  const full = [...squares.values()].filter((square) => square.count >= FULL_SQUARE);
  if (full.length < LEAST_SQUARES) return MOST_ALIKE;
  const each = squared / count;
  const ratio =
    full.reduce((sum, square) => sum + square.sum ** 2 / square.count, 0) / full.length / each;
  return Math.min(MOST_ALIKE, Math.max(LEAST_ALIKE, ratio));
}
