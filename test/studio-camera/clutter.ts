import type { Random } from '../../bench/random.ts';
import { GRID_NM } from '../../src/core/colour/grid.ts';
import { CHART_SPECTRA, type Clutter, type ClutterPart, paintedTile } from './scene.ts';

type Part = readonly [x0: number, y0: number, x1: number, y1: number, radius: number];

/** Parts along x, the middle of the thing at 0, 0, mm. */
const SHAPES: Readonly<Record<Clutter['name'], readonly Part[]>> = {
  hand: [
    [-30, 0, 0, 0, 38],
    [0, -28, 62, -34, 9],
    [10, -9, 80, -11, 9],
    [10, 10, 76, 12, 9],
    [0, 28, 58, 34, 8],
    [-20, -35, 20, -62, 10],
    [-140, 0, -30, 0, 30],
  ],
  knife: [
    [-95, 0, -15, 0, 9],
    [-15, 1, 95, 2, 7],
  ],
  spoon: [
    [-90, 0, 40, 0, 3.5],
    [50, 0, 66, 0, 17],
  ],
  fork: [
    [-90, 0, 45, 0, 3.5],
    [45, 0, 58, 0, 11],
    [58, -9, 92, -9, 1.6],
    [58, -3, 92, -3, 1.6],
    [58, 3, 92, 3, 1.6],
    [58, 9, 92, 9, 1.6],
  ],
  pen: [[-68, 0, 68, 0, 4.5]],
  cup: [[0, 0, 0, 0, 40]],
  roller: [[-75, 0, 75, 0, 13]],
};
const NAMES = ['knife', 'spoon', 'fork', 'pen', 'cup', 'roller'] as const;
const STEEL = new Float64Array(GRID_NM.length).fill(0.42);

/** A hand that reaches in from a side, and two or three things, apart from what is there already. */
export function randomClutter(
  random: Random,
  widthMm: number,
  heightMm: number,
  free: (at: readonly [number, number], reach: number) => boolean,
): Clutter[] {
  const out: Clutter[] = [];
  const fits = (parts: readonly ClutterPart[]) =>
    parts.every(({ from, to, radiusMm }) =>
      [0, 0.25, 0.5, 0.75, 1].every((t) => {
        const at = [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1])] as const;
        return free(at, radiusMm + 3);
      }),
    );
  const wanted: Clutter['name'][] = ['hand'];
  for (let k = random.whole(2, 3); k > 0; k--)
    wanted.push(NAMES[random.whole(0, NAMES.length - 1)]);
  for (const name of wanted) {
    for (let tries = 0; tries < 60; tries++) {
      const parts = placed(name, random, widthMm, heightMm);
      const apart = out.every((other) =>
        other.parts.every((one) => parts.every((part) => distance(one, part) > 4)),
      );
      if (!fits(parts) || !apart) continue;
      out.push({ name, parts, spectrum: materialOf(name, random) });
      break;
    }
  }
  return out;
}

function materialOf(name: Clutter['name'], random: Random): Float64Array {
  if (name === 'hand') return CHART_SPECTRA[1].map((v) => v * (0.5 + 0.6 * random.uniform()));
  return name === 'knife' || name === 'spoon' || name === 'fork' ? STEEL : paintedTile(random);
}

function placed(
  name: Clutter['name'],
  random: Random,
  widthMm: number,
  heightMm: number,
): ClutterPart[] {
  const side = random.whole(0, 3);
  // The fingers point inwards, and the arm leaves the table.
  const angle =
    name === 'hand'
      ? [0, Math.PI / 2, Math.PI, -Math.PI / 2][side] + (random.uniform() - 0.5) * 0.6
      : 2 * Math.PI * random.uniform();
  const [u, v] = [widthMm * random.uniform(), heightMm * random.uniform()];
  const middle =
    name === 'hand'
      ? [
          [0, v],
          [u, 0],
          [widthMm, v],
          [u, heightMm],
        ][side]
      : [u, v];
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const turned = (x: number, y: number) =>
    [middle[0] + x * cos - y * sin, middle[1] + x * sin + y * cos] as const;
  return SHAPES[name].map(([x0, y0, x1, y1, radiusMm]) => ({
    from: turned(x0, y0),
    to: turned(x1, y1),
    radiusMm,
  }));
}

/** How far a place is outside a part, mm; below 0 inside. */
export function outsideOf({ from, to, radiusMm }: ClutterPart, x: number, y: number): number {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const squared = dx * dx + dy * dy;
  const along =
    squared === 0
      ? 0
      : Math.min(1, Math.max(0, ((x - from[0]) * dx + (y - from[1]) * dy) / squared));
  return Math.hypot(x - from[0] - along * dx, y - from[1] - along * dy) - radiusMm;
}

function distance(one: ClutterPart, other: ClutterPart): number {
  return Math.min(
    ...[0, 0.25, 0.5, 0.75, 1].map((t) => {
      const x = other.from[0] + t * (other.to[0] - other.from[0]);
      const y = other.from[1] + t * (other.to[1] - other.from[1]);
      return outsideOf(one, x, y) - other.radiusMm;
    }),
  );
}
