import type { SeenPatch } from './camera-equations.ts';
import type { ReadPatch } from './chart-patches.ts';
import { CHART_MIDDLE } from './find-chart.ts';
import type { CameraFit } from './fit-camera.ts';
import type { Picture, PictureColour } from './picture.ts';
import { type PlaneView, pixelOf } from './plane-view.ts';
import { firstFit } from './sort-patches.ts';
import { coveredBy, type TilesOnTable, tableBlocks } from './table-blocks.ts';
import { type ChartOnTable, type TableLight, tableLight } from './table-light.ts';

/** The camera needs the light, and the light needs the tone curve of the camera. */
const ROUNDS = 2;

/**
 * Light over a table and a first fit of the camera under that light, in turn.
 * Shape:   picture, chart, tiles, patches as read and as seen, their fit under even light -> light,
 *          patches with the light on each, their fit
 */
export function learnUnderTable(
  picture: Picture,
  colour: PictureColour,
  view: PlaneView,
  tiles: TilesOnTable,
  patches: readonly ReadPatch[],
  seenFirst: readonly SeenPatch[],
  fitFirst: CameraFit,
  slopeSpread: number,
): { readonly table: TableLight | undefined; readonly seen: SeenPatch[]; readonly fit: CameraFit } {
  const blocks = tableBlocks(picture, colour, coveredBy(view), tiles);
  const chart = chartOnTable(view, patches);
  const good = (_: unknown, i: number) => patches[i].mark === undefined;
  let table: TableLight | undefined;
  let seen = [...seenFirst];
  let fit = fitFirst;
  for (let round = 0; round < ROUNDS; round++) {
    const now = tableLight(
      picture,
      blocks,
      chart,
      seen.map((patch, i) => (good(patch, i) ? patch : undefined)),
      fit,
      table,
    );
    seen = seen.map((patch, i) => {
      const light = Math.exp(now.at(patches[i].centre).log);
      return { ...patch, light: [light, light, light] };
    });
    fit = firstFit(seen.filter(good), slopeSpread);
    table = now;
  }
  return { table, seen, fit };
}

function chartOnTable(view: PlaneView, patches: readonly ReadPatch[]): ChartOnTable {
  const middle = pixelOf(view, CHART_MIDDLE);
  const beside = pixelOf(view, [3.5, 1.5]);
  return {
    middle,
    pitchPx: Math.hypot(beside[0] - middle[0], beside[1] - middle[1]),
    centres: patches.map(({ centre }) => centre),
  };
}
