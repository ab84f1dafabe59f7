import { xyzFromLab } from '../colour/spaces.ts';
import type { SeenPatch } from './camera-equations.ts';
import { SLOPE, xyzOfCode } from './camera-model.ts';
import type { CameraFit } from './fit-camera.ts';
import {
  ALIKE_BLOCKS,
  type JointFit,
  type JointShown,
  jointAt,
  jointFit,
  jointRow,
  PRIORS,
} from './joint-light.ts';
import type { Picture } from './picture.ts';
import type { Point } from './plane-view.ts';
import { shadowEdge } from './shadow-edge.ts';
import { evenBlocks, type TableBlock } from './table-blocks.ts';

/** How much light falls where on a table, against the middle of the chart. */
export interface TableLight {
  /** Logarithm of the light at a pixel over that at the chart, and its standard deviation. */
  readonly at: (pixel: Point) => { readonly log: number; readonly spread: number };
  /** Chance that an edge of a shadow falls on the table, and the share of the light it takes. */
  readonly shadow: { readonly chance: number; readonly depth: number };
}

/** A chart in the picture, for the light over its table. */
export interface ChartOnTable {
  readonly middle: Point;
  readonly pitchPx: number;
  /** Pixel of each patch. */
  readonly centres: readonly Point[];
}

const PITCH_MM = 20;
/** Spread of the logarithm of a patch's luminance; more for dark ones, whose black level is unsure. */
const PATCH_SPREAD = 0.035;
const DARK_PATCH = 0.004;
/** An edge and tints must explain more than this, because they always explain something. */
const EDGE_COSTS = 9;
const TINTS_COST = 2;
/** Unsure even where blocks and patches agree: tiles are higher than the table. */
const LEAST_SPREAD = 0.015;

/**
 * Light over a table from its surface, together with the patches of a chart on it.
 * Shape:   picture, blocks of its surface, the chart, patches as seen and a fit of them -> light;
 *          without blocks the patches and the priors decide, and the spread says so
 * Method:  fields with and without an edge, with and without the tint of the surface, weighed by
 *          how well each explains blocks and patches
 */
export function tableLight(
  { width, height }: Picture,
  blocks: readonly TableBlock[],
  chart: ChartOnTable,
  patches: readonly (SeenPatch | undefined)[],
  fit: CameraFit,
): TableLight {
  const half = Math.max(width, height) / 2;
  const placed = ([x, y]: Point) => ({
    at: [(x - width / 2) / half, (y - height / 2) / half] as const,
    mm: [
      ((x - chart.middle[0]) / chart.pitchPx) * PITCH_MM,
      ((y - chart.middle[1]) / chart.pitchPx) * PITCH_MM,
    ] as const,
  });
  const shown = shownBy(evenBlocks(blocks, fit), patches, chart, fit, placed);
  const middle = placed(chart.middle);
  const plain = [false, true].map((tinted) => jointFit(shown, tinted));
  const fits = [...plain, ...plain.map((one) => withEdge(shown, one))];
  const costs = fits.map(
    ({ misfit, edge, tinted }) =>
      misfit + (edge === undefined ? 0 : EDGE_COSTS) + (tinted ? TINTS_COST : 0),
  );
  const least = Math.min(...costs);
  const raw = costs.map((cost) => Math.exp((least - cost) / 2));
  const total = raw.reduce((sum, v) => sum + v, 0);
  const shares = raw.map((v) => v / total);
  const at = (pixel: Point) => {
    const place = placed(pixel);
    const each = fits.map((one) => jointAt(one, place, middle));
    const log = each.reduce((sum, one, k) => sum + shares[k] * one.log, 0);
    const variance = each.reduce(
      (sum, one, k) => sum + shares[k] * (one.spread ** 2 + (one.log - log) ** 2),
      LEAST_SPREAD ** 2,
    );
    return { log, spread: Math.sqrt(variance) };
  };
  const edged = fits.map(({ edge }, k) => (edge === undefined ? 0 : shares[k]));
  const chance = edged.reduce((sum, v) => sum + v, 0);
  const depth = fits.reduce(
    (sum, { edge }, k) => sum + edged[k] * Math.abs(Math.expm1(edge?.depth ?? 0)),
    0,
  );
  return { at, shadow: { chance, depth: chance > 0 ? depth / chance : 0 } };
}

function shownBy(
  blocks: readonly TableBlock[],
  patches: readonly (SeenPatch | undefined)[],
  { centres }: ChartOnTable,
  fit: CameraFit,
  placed: (pixel: Point) => { readonly at: Point; readonly mm: Point },
): JointShown {
  const level = ([r, g, b]: TableBlock['light']) => Math.log(0.25 * r + 0.6 * g + 0.15 * b);
  const tints = blocks.map(
    ({ light: [r, g, b] }) => [Math.log(r / g), Math.log(b / g)] as [number, number],
  );
  // Tints count from the commonest one, so that they do not move the constant of the blocks.
  const middles = [0, 1].map((c) => middleOf(tints.map((tint) => tint[c])));
  const levels = blocks.map(({ light }) => level(light));
  const usual = middleOf(levels);
  const seen = patches.flatMap((patch, i) => {
    if (patch === undefined) return [];
    const known = xyzFromLab(patch.lab, fit.white)[1];
    const got = luminance(fit, patch);
    if (!(got > 0)) return [];
    return [
      { pixel: centres[i], log: Math.log(got / known), spread: PATCH_SPREAD + DARK_PATCH / known },
    ];
  });
  const all = [...blocks.map((block) => placed(block.at)), ...seen.map((one) => placed(one.pixel))];
  return {
    places: all.map(({ at }) => at),
    mm: all.map(({ mm }) => mm),
    logs: [...levels.map((v) => v - usual), ...seen.map(({ log }) => log)],
    patchSpread: [...blocks.map(() => undefined), ...seen.map(({ spread }) => spread)],
    tints: tints.map(([r, b]) => [r - middles[0], b - middles[1]]),
  };
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

/** The edge that explains most beside a smooth field, fitted together with it. */
function withEdge(shown: JointShown, plain: JointFit): JointFit {
  const block = ALIKE_BLOCKS * plain.blockSpread ** 2;
  const found = shadowEdge({
    places: shown.mm,
    rows: shown.logs.map((_, i) => jointRow(shown, i, plain.tinted)),
    logs: shown.logs,
    worth: shown.patchSpread.map((own) => (own === undefined ? 1 : block / own ** 2)),
    even: 1.345 * plain.blockSpread,
    hold: PRIORS.map((prior) => block / prior ** 2),
  });
  let edge = { shape: found.edge, depth: found.depth };
  let fit = jointFit(shown, plain.tinted, edge);
  // The depth bends how the edge falls, so it settles in a second fit.
  edge = { ...edge, depth: fit.edge!.depth };
  fit = jointFit(shown, plain.tinted, edge);
  return fit;
}

function middleOf(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}
