import { backward, choleskyInPlace, forward } from '../numeric/dense-cholesky.ts';
import { CHART_COLUMNS, CHART_ROWS, CHART_VALUES } from './chart-values.ts';
import type { SmallPicture } from './picture.ts';
import { type PlaneView, pixelOf } from './plane-view.ts';

/** Number of patches that a shadow or a finger may spoil. */
const SPOILT = 4;
const KNOWN = CHART_VALUES['from 2014'];

/**
 * Share of the variance of the chart's colours that a straight line through three channels
 * explains, without the worst few patches; 0 where a patch is outside the picture.
 */
export function chartLikeness(small: SmallPicture, view: PlaneView): number {
  const seen: number[][] = [];
  for (let row = 0; row < CHART_ROWS; row++) {
    for (let column = 0; column < CHART_COLUMNS; column++) {
      const [x, y] = pixelOf(view, [column, row]);
      const px = Math.round(x);
      const py = Math.round(y);
      if (!(px >= 1 && py >= 1 && px < small.width - 1 && py < small.height - 1)) return 0;
      const mean = [0, 0, 0];
      for (let dy = -1; dy <= 1; dy++) {
        for (let dx = -1; dx <= 1; dx++) {
          const at = ((py + dy) * small.width + px + dx) * 3;
          for (let c = 0; c < 3; c++) mean[c] += small.channels[at + c] / 9;
        }
      }
      seen.push([1, ...mean.map((v) => Math.sqrt(v))]);
    }
  }
  let used = seen.map((_, i) => i);
  let misses = lineMisses(seen, used);
  used = used.toSorted((a, b) => misses[a] - misses[b]).slice(0, used.length - SPOILT);
  misses = lineMisses(seen, used);
  let left = 0;
  let all = 0;
  for (let r = 0; r < 3; r++) {
    const mean = used.reduce((sum, i) => sum + KNOWN[i][r], 0) / used.length;
    all += used.reduce((sum, i) => sum + (KNOWN[i][r] - mean) ** 2, 0);
  }
  for (const i of used) left += misses[i];
  return 1 - left / all;
}

/** Squared miss of every patch from the line through the patches used. */
function lineMisses(seen: readonly number[][], used: readonly number[]): number[] {
  const normal = new Float64Array(16);
  const right = new Float64Array(12);
  for (const i of used) {
    for (let a = 0; a < 4; a++) {
      for (let b = 0; b < 4; b++) normal[4 * a + b] += seen[i][a] * seen[i][b];
      for (let r = 0; r < 3; r++) right[3 * a + r] += seen[i][a] * KNOWN[i][r];
    }
  }
  for (let a = 0; a < 4; a++) normal[5 * a] += 1e-6;
  choleskyInPlace(normal, 4);
  forward(normal, right, 4, 3);
  const lines = [0, 1, 2].map((r) => {
    const column = Float64Array.from({ length: 4 }, (_, a) => right[3 * a + r]);
    backward(normal, column, 4);
    return column;
  });
  return seen.map((features, i) =>
    lines.reduce((sum, line, r) => {
      const got = features.reduce((s, feature, a) => s + feature * line[a], 0);
      return sum + (got - KNOWN[i][r]) ** 2;
    }, 0),
  );
}
