/**
 * The uncertainty that a tile does not share with the others of its photo.
 * Shape:   covariance of all tiles together 3n x 3n by rows, how many tiles, which one
 * Units:   standard deviation an axis, CIELAB; root mean square of the three
 * Holds:   at least 0.1: a photo cannot read a tile more precisely
 */
export function ownSpread(covariance: ArrayLike<number>, count: number, tile: number): number {
  const size = 3 * count;
  const traceOf = (other: number) =>
    [0, 1, 2].reduce((sum, r) => sum + covariance[(3 * tile + r) * size + 3 * other + r], 0);
  const others = Array.from({ length: count }, (_, i) => i).filter((i) => i !== tile);
  const shared =
    others.length === 0 ? 0 : others.reduce((sum, i) => sum + traceOf(i), 0) / others.length;
  return Math.sqrt(Math.max(0.03, traceOf(tile) - Math.max(0, shared)) / 3);
}
