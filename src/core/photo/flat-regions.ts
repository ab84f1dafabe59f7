import type { SmallPicture } from './picture.ts';
import type { Point } from './plane-view.ts';

/** An area of one colour with edges all round, shaped like a slanted rectangle. */
export interface FlatRegion {
  readonly centre: Point;
  readonly area: number;
  /** Mean of its three channels. */
  readonly colour: readonly [number, number, number];
}

/** Area against that of a parallelogram with the same second moments: 1, and 1.047 for an ellipse. */
const SHAPE = [0.85, 1.08] as const;
/** Longest against shortest half-axis. */
const LONGEST_SHAPE = 2.6;
const LEAST_AREA = 24;

/** Pixels joined without an edge between them. */
export interface FlatPiece {
  readonly centre: Point;
  readonly area: number;
  /** Mean of its three channels. */
  readonly colour: readonly [number, number, number];
  /** Area against that of a parallelogram with the same second moments. */
  readonly shape: number;
  /** Longest against shortest half-axis. */
  readonly long: number;
  /** Its pixels within three of the rim of the picture. */
  readonly atRim: number;
}

/**
 * Areas that look like patches.
 * Shape:   small picture, its steepness, the step that counts as an edge -> regions, in its pixels
 * Method:  pixels without an edge are joined; a piece is accepted when its area and its second
 *          moments agree with a parallelogram, which no rotation or slant changes
 */
export function flatRegions(
  picture: SmallPicture,
  steep: Float32Array,
  edge: number,
): FlatRegion[] {
  const most = (picture.width * picture.height) / 40;
  return flatPieces(picture, steep, edge, LEAST_AREA)
    .filter(
      ({ area, shape, long }) =>
        area <= most && shape >= SHAPE[0] && shape <= SHAPE[1] && long <= LONGEST_SHAPE,
    )
    .map(({ centre, area, colour }) => ({ centre, area, colour }));
}

/** All pieces without an edge of at least so many pixels, in reading order of their first pixel. */
export function flatPieces(
  { width, height, channels }: SmallPicture,
  steep: Float32Array,
  edge: number,
  leastArea: number,
): FlatPiece[] {
  const seen = new Uint8Array(width * height);
  const stack = new Int32Array(width * height);
  const out: FlatPiece[] = [];
  for (let start = 0; start < seen.length; start++) {
    if (seen[start] === 1 || steep[start] >= edge) continue;
    let count = 0;
    let depth = 0;
    let sx = 0;
    let sy = 0;
    let sxx = 0;
    let sxy = 0;
    let syy = 0;
    let atRim = 0;
    const sums: [number, number, number] = [0, 0, 0];
    const x0 = start % width;
    const y0 = Math.floor(start / width);
    seen[start] = 1;
    stack[depth++] = start;
    while (depth > 0) {
      const at = stack[--depth];
      const px = at % width;
      const py = (at - px) / width;
      const x = px - x0;
      const y = py - y0;
      count++;
      sx += x;
      sy += y;
      sxx += x * x;
      sxy += x * y;
      syy += y * y;
      for (let c = 0; c < 3; c++) sums[c] += channels[3 * at + c];
      if (px < 3 || py < 3 || px > width - 4 || py > height - 4) atRim++;
      if (px > 0) depth = visit(at - 1, depth);
      if (px < width - 1) depth = visit(at + 1, depth);
      if (at >= width) depth = visit(at - width, depth);
      if (at < seen.length - width) depth = visit(at + width, depth);
    }
    if (count < leastArea) continue;
    const mx = sx / count;
    const my = sy / count;
    const vxx = sxx / count - mx * mx + 1 / 12;
    const vxy = sxy / count - mx * my;
    const vyy = syy / count - my * my + 1 / 12;
    const determinant = vxx * vyy - vxy * vxy;
    const half = (vxx + vyy) / 2;
    const away = Math.sqrt(Math.max(0, half * half - determinant));
    out.push({
      centre: [x0 + mx, y0 + my],
      area: count,
      colour: [sums[0] / count, sums[1] / count, sums[2] / count],
      shape: count / (12 * Math.sqrt(determinant)),
      long: Math.sqrt((half + away) / (half - away)),
      atRim,
    });
  }
  return out;

  function visit(at: number, depth: number): number {
    if (seen[at] === 1 || steep[at] >= edge) return depth;
    seen[at] = 1;
    stack[depth] = at;
    return depth + 1;
  }
}

/** Greatest step over two pixels, of any channel. */
export function steepness({ width, height, channels }: SmallPicture): Float32Array {
  const out = new Float32Array(width * height).fill(1);
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      let most = 0;
      for (let c = 0; c < 3; c++) {
        const at = (y * width + x) * 3 + c;
        const dx = Math.abs(channels[at + 3] - channels[at - 3]);
        const dy = Math.abs(channels[at + 3 * width] - channels[at - 3 * width]);
        most = Math.max(most, dx, dy);
      }
      out[y * width + x] = most;
    }
  }
  return out;
}
