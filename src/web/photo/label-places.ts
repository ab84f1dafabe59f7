import type { Point } from '../../core/photo/plane-view.ts';

/** A number to be written beside its tile. */
export interface LabelledTile {
  readonly name: string;
  readonly outline: readonly Point[];
}

interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Width of a letter as a share of its height, and the gap to the tile. */
const LETTER = 0.62;
const GAP = 0.25;

/**
 * Where numbers stand so that they cover no tile: left of the tile at its top, else above, right or below.
 * Shape:   outlines and the height of a letter, all in pixels of the photo -> the left end of the base line
 *          of each number, in the same order
 * Holds:   where no side is free, the one that covers least
 */
export function labelPlaces(
  tiles: readonly LabelledTile[],
  letter: number,
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
): readonly Point[] {
  const boxes = tiles.map(({ outline }) => boxOf(outline));
  const placed: Box[] = [];
  return tiles.map(({ name }, i) => {
    const { left, top, right, bottom } = boxes[i];
    const width = name.length * LETTER * letter;
    const gap = GAP * letter;
    const at = (x: number, y: number): Box => ({
      left: x,
      top: y,
      right: x + width,
      bottom: y + letter,
    });
    const sides = [
      at(left - gap - width, top),
      at(left, top - gap - letter),
      at(right + gap, top),
      at(left, bottom + gap),
    ];
    const costs = sides.map((side) => {
      const others = [...boxes, ...placed].reduce((sum, box) => sum + overlap(side, box), 0);
      const inside = overlap(side, { left: 0, top: 0, right: widthPx, bottom: heightPx });
      return Math.round(others + 10 * (width * letter - inside));
    });
    const best = sides[costs.indexOf(Math.min(...costs))];
    placed.push(best);
    return [best.left, best.bottom - 0.15 * letter];
  });
}

function boxOf(points: readonly Point[]): Box {
  const xs = points.map(([x]) => x);
  const ys = points.map(([, y]) => y);
  return {
    left: Math.min(...xs),
    top: Math.min(...ys),
    right: Math.max(...xs),
    bottom: Math.max(...ys),
  };
}

function overlap(one: Box, other: Box): number {
  const across = Math.min(one.right, other.right) - Math.max(one.left, other.left);
  const down = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
  return Math.max(0, across) * Math.max(0, down);
}
