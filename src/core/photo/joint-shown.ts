import { xyzFromLab } from '../colour/spaces.ts';
import { solveInPlace } from '../numeric/dense-cholesky.ts';
import type { SeenPatch } from './camera-equations.ts';
import { SLOPE, xyzOfCode } from './camera-model.ts';
import type { CameraFit } from './fit-camera.ts';
import { type JointShown, LEAST_ALIKE } from './joint-light.ts';
import type { Point } from './plane-view.ts';
import type { TableBlock } from './table-blocks.ts';

/** Spread of the logarithm of a patch's luminance; more for dark ones, whose black level is unsure. */
const PATCH_SPREAD = 0.035;
const DARK_PATCH = 0.004;

/** A place relative to the middle of a picture, by half of its longer side, and in mm, roughly. */
export interface Placed {
  readonly at: Point;
  readonly mm: Point;
}

/** What blocks of a table and patches of known colour show of the light over both. */
export function shownOn(
  blocks: readonly TableBlock[],
  patches: readonly (SeenPatch | undefined)[],
  centres: readonly Point[],
  fit: CameraFit,
  placed: (pixel: Point) => Placed,
): JointShown {
  const seen = patches.flatMap((patch, i) => {
    if (patch === undefined) return [];
    const known = xyzFromLab(patch.lab, fit.white)[1];
    const got = luminance(fit, patch);
    if (!(got > 0)) return [];
    return [
      { pixel: centres[i], log: Math.log(got / known), spread: PATCH_SPREAD + DARK_PATCH / known },
    ];
  });
  return shownBy(blocks, seen, placed);
}

/** Where the light is known, and how well: the logarithm up to a constant. */
export interface KnownLight {
  readonly pixel: Point;
  readonly log: number;
  readonly spread: number;
}

/** The same for places where the light is known. */
export function shownBy(
  blocks: readonly TableBlock[],
  known: readonly KnownLight[],
  placed: (pixel: Point) => Placed,
): JointShown {
  const tints = blocks.map(
    ({ light: [r, g, b] }) => [Math.log(r / g), Math.log(b / g)] as [number, number],
  );
  const at = blocks.map((block) => placed(block.at).at);
  const [reds, blues] = [0, 1].map((c) =>
    besideSmooth(
      at,
      tints.map((tint) => tint[c]),
    ),
  );
  const levels = blocks.map(({ light }) => Math.log(luminanceOf(light)));
  const usual = middleOf(levels);
  const all = [...blocks.map(({ at }) => placed(at)), ...known.map(({ pixel }) => placed(pixel))];
  return {
    places: all.map(({ at }) => at),
    mm: all.map(({ mm }) => mm),
    logs: [...levels.map((v) => v - usual), ...known.map(({ log }) => log)],
    patchSpread: [...blocks.map(() => undefined), ...known.map(({ spread }) => spread)],
    tints: reds.map((red, i) => [red, blues[i]]),
    alike: LEAST_ALIKE,
  };
}

/** How bright linear light is, roughly, whatever the camera. */
export function luminanceOf([r, g, b]: TableBlock['light']): number {
  return 0.25 * r + 0.6 * g + 0.15 * b;
}

/** Luminance of a patch by a fit, with nothing assumed of the light there. */
function luminance(fit: CameraFit, patch: SeenPatch): number {
  const numbers = fit.numbers.slice();
  numbers[SLOPE] = 0;
  numbers[SLOPE + 1] = 0;
  const xyz = new Float64Array(3);
  xyzOfCode(xyz, numbers, fit.settings.terms, { ...patch, light: [1, 1, 1] });
  return xyz[1];
}

/**
 * Tints less a plane through them: a tint that changes slowly over a table is that of the light,
 * as of two lamps.
 */
function besideSmooth(places: readonly Point[], tints: readonly number[]): number[] {
  const rows = places.map(([x, y]) => [1, x, y]);
  const size = 3;
  const normal = new Float64Array(size * size);
  const numbers = new Float64Array(size);
  rows.forEach((row, i) => {
    for (let a = 0; a < size; a++) {
      numbers[a] += row[a] * tints[i];
      for (let b = 0; b < size; b++) normal[size * a + b] += row[a] * row[b];
    }
  });
  for (let a = 0; a < size; a++) normal[(size + 1) * a] += 1e-6;
  solveInPlace(normal, numbers, size);
  return rows.map((row, i) => tints[i] - row.reduce((sum, v, a) => sum + v * numbers[a], 0));
}

function middleOf(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}
