import { triple } from '../colour/triples.ts';
import { type PaperSample, whatMatters } from './bare-paper.ts';
import { lightBeside, type ShownBeside } from './light-beside.ts';
import type { Point } from './plane-view.ts';
import type { SheetLayout } from './sheet-layout.ts';
import { type SmoothLight, shadowsFallen, smoothAt, smoothLight } from './smooth-light.ts';

/** How much light falls where on a sheet, measured on its white paper. */
export interface PaperLight extends ShownBeside {
  readonly smooth: SmoothLight;
  /** Standard deviation of paper around the model, as a share of the light. */
  readonly spread: number;
  /**
   * Standard deviation of the local additions, as a share of the light: large where shadows end.
   */
  readonly unevenness: number;
  /** Share of the paper samples that did not fit: shadows, dirt, things on the paper. */
  readonly unlike: number;
}

const LEAST_SAMPLES = 40;
/** Largest logarithm of a ratio of channels by which paper differs from paper under two lamps. */
const OTHER_TINT = 0.2;
const LEAST_SPREAD = 0.002;

/**
 * The light over a sheet from samples of its paper, some of which are in shadow or covered.
 * Shape:   linear light of paper at places in mm -> light; undefined with too few samples
 * Holds:   gives only how light differs from place to place. Paper glows under ultraviolet, so its
 *          colour is never used as white
 * Method:  a smooth light with the edges of at most two shadows; added to it, the local median of
 *          the residuals
 */
export function paperLight(
  samples: readonly PaperSample[],
  layout: SheetLayout,
): PaperLight | undefined {
  if (samples.length < LEAST_SAMPLES) return undefined;
  const green = samples.map(({ light }) => light[1]).sort((a, b) => a - b);
  const pale = green[Math.floor(0.9 * green.length)];
  // Ink, tiles and deep shadow are not paper; neither is anything of another colour: hands, wood,
  // packets.
  const bright = samples.filter(({ light }) => light.every((v) => v > 0) && light[1] > 0.35 * pale);
  const tints = [0, 2].map((c) => {
    const logs = bright.map(({ light }) => Math.log(light[c] / light[1])).sort((a, b) => a - b);
    return logs[logs.length >> 1];
  });
  const used = bright.filter(({ light }) =>
    [0, 2].every((c, k) => Math.abs(Math.log(light[c] / light[1]) - tints[k]) < OTHER_TINT),
  );
  if (used.length < LEAST_SAMPLES) return undefined;
  const fit = smoothLight(used, layout);
  if (fit === undefined) return undefined;
  const { beside, weights } = fit;
  const unlike = weights.filter((w) => w < 0.05).length / samples.length;
  const shown = { places: used.map(({ at }) => at), beside };
  const left = used
    .map(({ at }, i) => Math.abs(beside[i][1] - lightBeside(shown, at, i)[1]))
    .sort((a, b) => a - b);
  const asked = whatMatters(layout).map((at) => lightBeside(shown, at)[1]);
  return {
    ...shown,
    smooth: fit.light,
    spread: Math.max(LEAST_SPREAD, 1.4826 * left[left.length >> 1]),
    unevenness: Math.sqrt(asked.reduce((sum, v) => sum + v * v, 0) / asked.length),
    unlike: unlike + (samples.length - used.length) / samples.length,
  };
}

/** Light at one place over that at another, for each channel. */
export function lightAgainst(
  light: PaperLight,
  layout: SheetLayout,
  here: Point,
  there: Point,
): [number, number, number] {
  const a = paperAt(light, layout, here);
  const b = paperAt(light, layout, there);
  return [a[0] / b[0], a[1] / b[1], a[2] / b[2]];
}

/** Linear light of the paper itself at a place, for each channel. */
export function paperAt(
  light: PaperLight,
  layout: SheetLayout,
  place: Point,
): [number, number, number] {
  const beside = lightBeside(light, place);
  return smoothAt(light.smooth, layout, place).map((log, c) => Math.exp(log + beside[c])) as [
    number,
    number,
    number,
  ];
}

/**
 * How the light changes around a place in mm where a shadow ends close by, relative to that place;
 * undefined where none does.
 */
export function shadowAbout(
  { smooth }: PaperLight,
  layout: SheetLayout,
  middle: Point,
  reachMm: number,
): ((place: Point) => readonly [number, number, number]) | undefined {
  if (smooth.shadows.length === 0) return undefined;
  const corners = [-1, 1].flatMap((x) =>
    [-1, 1].map((y): Point => [middle[0] + x * reachMm, middle[1] + y * reachMm]),
  );
  const parts = corners.map((corner) => shadowsFallen(smooth, layout, corner));
  const changes = smooth.shadows.map((_, k) => {
    const of = parts.map((part) => part[k]);
    return Math.max(...of) - Math.min(...of);
  });
  if (Math.max(...changes) < LEAST_CHANGE) return undefined;
  const here = smoothAt(smooth, layout, middle);
  return (place) => {
    const there = smoothAt(smooth, layout, place);
    return triple((c) => Math.exp(there[c] - here[c]));
  };
}

/** Share of a shadow that must fall within a place for it to matter. */
const LEAST_CHANGE = 0.02;
