import type { Point } from './plane-view.ts';

/**
 * Four corners where the sides of an outline meet, clockwise; undefined where it is not a
 * quadrangle.
 */
export function quadrangleOf(outline: readonly Point[], leastSide: number): Point[] | undefined {
  const n = outline.length;
  const mx = outline.reduce((s, p) => s + p[0], 0) / n;
  const my = outline.reduce((s, p) => s + p[1], 0) / n;
  const farthest = (from: (p: Point) => number) => {
    let best = 0;
    outline.forEach((p, i) => {
      if (from(p) > from(outline[best])) best = i;
    });
    return best;
  };
  const a = farthest((p) => Math.hypot(p[0] - mx, p[1] - my));
  const c = farthest((p) => Math.hypot(p[0] - outline[a][0], p[1] - outline[a][1]));
  const off = (p: Point) =>
    (outline[c][0] - outline[a][0]) * (p[1] - outline[a][1]) -
    (outline[c][1] - outline[a][1]) * (p[0] - outline[a][0]);
  const b = farthest(off);
  const d = farthest((p) => -off(p));
  const order = [...new Set([a, b, c, d])].sort((i, j) => i - j);
  if (order.length < 4) return undefined;
  const lines: Line[] = [];
  for (let k = 0; k < 4; k++) {
    const from = order[k];
    const length = (order[(k + 1) % 4] - from + n) % n;
    if (length < leastSide / 2) return undefined;
    // The ends of a side belong to the corners, which blur makes round.
    const points: Point[] = [];
    for (let step = Math.ceil(0.12 * length); step <= 0.88 * length; step++) {
      points.push(outline[(from + step) % n]);
    }
    const line = lineThrough(points);
    if (line.rms > Math.max(0.7, 0.012 * length)) return undefined;
    lines.push(line);
  }
  const corners = lines.map((line, k) => meeting(lines[(k + 3) % 4], line));
  if (corners.some((p) => p === undefined)) return undefined;
  // The outline runs through pixel centres, so the edge of the ink is half a pixel further out.
  return outward(corners as Point[], 0.5);
}

interface Line {
  readonly at: Point;
  readonly along: Point;
  readonly rms: number;
}

function lineThrough(points: readonly Point[]): Line {
  const n = points.length;
  const x = points.reduce((s, p) => s + p[0], 0) / n;
  const y = points.reduce((s, p) => s + p[1], 0) / n;
  let [xx, xy, yy] = [0, 0, 0];
  for (const p of points) {
    xx += (p[0] - x) ** 2;
    xy += (p[0] - x) * (p[1] - y);
    yy += (p[1] - y) ** 2;
  }
  const angle = Math.atan2(2 * xy, xx - yy) / 2;
  const across = (xx + yy) / 2 - Math.sqrt(((xx - yy) / 2) ** 2 + xy * xy);
  return {
    at: [x, y],
    along: [Math.cos(angle), Math.sin(angle)],
    rms: Math.sqrt(Math.max(0, across) / n),
  };
}

function meeting(one: Line, other: Line): Point | undefined {
  const cross = one.along[0] * other.along[1] - one.along[1] * other.along[0];
  if (Math.abs(cross) < 0.2) return undefined;
  const dx = other.at[0] - one.at[0];
  const dy = other.at[1] - one.at[1];
  const t = (dx * other.along[1] - dy * other.along[0]) / cross;
  return [one.at[0] + t * one.along[0], one.at[1] + t * one.along[1]];
}

function outward(corners: readonly Point[], by: number): Point[] {
  const x = corners.reduce((s, p) => s + p[0], 0) / 4;
  const y = corners.reduce((s, p) => s + p[1], 0) / 4;
  return corners.map((p) => {
    const away = Math.hypot(p[0] - x, p[1] - y) || 1;
    // A corner moves by the diagonal of the moves of its sides.
    const share = 1 + (by * Math.SQRT2) / away;
    return [x + (p[0] - x) * share, y + (p[1] - y) * share];
  });
}
