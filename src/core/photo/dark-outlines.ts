import type { Point } from './plane-view.ts';

/** Mean of the square around every pixel; at the edge, of the part inside the picture. */
export function boxMean(
  grey: Float32Array,
  width: number,
  height: number,
  side: number,
): Float32Array {
  const sums = new Float64Array((width + 1) * (height + 1));
  for (let y = 0; y < height; y++) {
    let row = 0;
    for (let x = 0; x < width; x++) {
      row += grey[y * width + x];
      sums[(y + 1) * (width + 1) + x + 1] = sums[y * (width + 1) + x + 1] + row;
    }
  }
  const out = new Float32Array(grey.length);
  const half = side >> 1;
  for (let y = 0; y < height; y++) {
    const y0 = Math.max(0, y - half);
    const y1 = Math.min(height, y + half + 1);
    for (let x = 0; x < width; x++) {
      const x0 = Math.max(0, x - half);
      const x1 = Math.min(width, x + half + 1);
      const total =
        sums[y1 * (width + 1) + x1] -
        sums[y0 * (width + 1) + x1] -
        sums[y1 * (width + 1) + x0] +
        sums[y0 * (width + 1) + x0];
      out[y * width + x] = total / ((y1 - y0) * (x1 - x0));
    }
  }
  return out;
}

/** Outer edge of every dark piece of a likely size, pixel by pixel around it. */
export function darkOutlines(
  dark: Uint8Array,
  width: number,
  height: number,
  leastSide: number,
): Point[][] {
  const seen = new Uint8Array(dark.length);
  const stack = new Int32Array(dark.length);
  const out: Point[][] = [];
  for (let start = 0; start < dark.length; start++) {
    if (dark[start] === 0 || seen[start] === 1) continue;
    let depth = 0;
    let [left, right, top, bottom] = [width, 0, height, 0];
    seen[start] = 1;
    stack[depth++] = start;
    let count = 0;
    while (depth > 0) {
      const at = stack[--depth];
      const x = at % width;
      const y = (at - x) / width;
      count++;
      left = Math.min(left, x);
      right = Math.max(right, x);
      top = Math.min(top, y);
      bottom = Math.max(bottom, y);
      if (x > 0) depth = visit(at - 1, depth);
      if (x < width - 1) depth = visit(at + 1, depth);
      if (y > 0) depth = visit(at - width, depth);
      if (y < height - 1) depth = visit(at + width, depth);
    }
    const wide = right - left + 1;
    const tall = bottom - top + 1;
    if (Math.min(wide, tall) < leastSide || Math.max(wide, tall) > Math.max(width, height) / 3)
      continue;
    if (count < 0.2 * wide * tall) continue;
    // `start` is the first pixel of the piece in reading order, where the outline begins.
    out.push(roundTrip(dark, width, height, start));
  }
  return out;

  function visit(at: number, depth: number): number {
    if (dark[at] === 0 || seen[at] === 1) return depth;
    seen[at] = 1;
    stack[depth] = at;
    return depth + 1;
  }
}

const AROUND: readonly Point[] = [
  [1, 0],
  [1, 1],
  [0, 1],
  [-1, 1],
  [-1, 0],
  [-1, -1],
  [0, -1],
  [1, -1],
];

/** Moore's walk around a piece, clockwise. */
function roundTrip(dark: Uint8Array, width: number, height: number, start: number): Point[] {
  const inside = (x: number, y: number) =>
    x >= 0 && y >= 0 && x < width && y < height && dark[y * width + x] === 1;
  const x0 = start % width;
  const y0 = (start - x0) / width;
  const path: Point[] = [];
  let [x, y] = [x0, y0];
  let facing = 0;
  const most = 8 * (width + height);
  do {
    path.push([x, y]);
    let turned = 0;
    let direction = (facing + 6) % 8;
    while (turned < 8 && !inside(x + AROUND[direction][0], y + AROUND[direction][1])) {
      direction = (direction + 1) % 8;
      turned++;
    }
    if (turned === 8) break;
    facing = direction;
    x += AROUND[direction][0];
    y += AROUND[direction][1];
  } while ((x !== x0 || y !== y0) && path.length < most);
  return path;
}
