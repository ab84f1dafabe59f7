import type { Point } from './plane-view.ts';
import type { SheetBox, SheetLayout } from './sheet-layout.ts';

const STEP_MM = 4;
/** Distance from anything printed or placed, beyond which paper counts as bare. */
const CLEAR_MM = 3;
/** How far a tile may extend beyond its place, including its shadow. */
const TILE_MM = 6;

/** Linear light of paper at a place, mm. */
export interface PaperSample {
  readonly at: Point;
  readonly light: readonly [number, number, number];
}

/** Places on a sheet where only white paper should be. */
export function barePaper(layout: SheetLayout): Point[] {
  const boxes: SheetBox[] = [
    ...layout.printed,
    ...layout.markers.map(({ at, sideMm }) => ({ at, widthMm: sideMm, heightMm: sideMm })),
    ...layout.places.map(({ centre, sideMm }) => {
      const side = sideMm + 2 * (TILE_MM - CLEAR_MM);
      return {
        at: [centre[0] - side / 2, centre[1] - side / 2] as const,
        widthMm: side,
        heightMm: side,
      };
    }),
    ...(layout.chart === undefined ? [] : [layout.chart]),
  ];
  const out: Point[] = [];
  for (let y = CLEAR_MM; y < layout.heightMm - CLEAR_MM; y += STEP_MM) {
    for (let x = CLEAR_MM; x < layout.widthMm - CLEAR_MM; x += STEP_MM) {
      const covered = boxes.some(
        ({ at, widthMm, heightMm }) =>
          x > at[0] - CLEAR_MM &&
          x < at[0] + widthMm + CLEAR_MM &&
          y > at[1] - CLEAR_MM &&
          y < at[1] + heightMm + CLEAR_MM,
      );
      if (!covered) out.push([x, y]);
    }
  }
  return out;
}

/** Places of tiles, and the surroundings of the chart: light elsewhere does no harm. */
export function whatMatters({ places, chart, widthMm, heightMm }: SheetLayout): Point[] {
  const out: Point[] = places.map(({ centre }) => centre);
  if (chart !== undefined) {
    const [x, y] = chart.at;
    for (const part of [0, 0.5, 1]) {
      out.push([x + part * chart.widthMm, y], [x + part * chart.widthMm, y + chart.heightMm]);
      out.push([x, y + part * chart.heightMm], [x + chart.widthMm, y + part * chart.heightMm]);
    }
  }
  return out.length > 0 ? out : [[widthMm / 2, heightMm / 2]];
}
