import type { Point } from './plane-view.ts';

/** All in mm from the top left corner of the paper, y downward. */
export interface SheetMarker {
  readonly id: number;
  /** Top left corner of the black square. */
  readonly at: Point;
  readonly sideMm: number;
}

export interface SheetPlace {
  readonly name: string;
  readonly centre: Point;
  readonly sideMm: number;
}

export interface SheetBox {
  readonly at: Point;
  readonly widthMm: number;
  readonly heightMm: number;
}

/** A flat board with markers: the printed tray sheet, or any other. */
export interface SheetLayout {
  readonly name: string;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly markers: readonly SheetMarker[];
  readonly places: readonly SheetPlace[];
  /** Place of the chart, if it is on the sheet. */
  readonly chart?: SheetBox;
  /** Place of a grey card when there is no chart. */
  readonly greyCard?: SheetBox;
  /** A cross is printed in the middle of every place: where it is visible, there is no tile. */
  readonly crosses: boolean;
  /** Other printed things, which are not white paper. */
  readonly printed: readonly SheetBox[];
}

export const PAPERS = ['A4', 'Letter'] as const;
export type PaperName = (typeof PAPERS)[number];

/** ISO 216 A4; US Letter, 8.5 by 11 inches. */
const PAPER_MM: Readonly<Record<PaperName, readonly [number, number]>> = {
  A4: [210, 297],
  Letter: [215.9, 279.4],
};
const EDGE_MM = 10;
const MARKER_MM = 18;
const PLACE_MM = 32;
/** Arms of the printed cross, and their width. */
export const CROSS_MM = { arm: 6, width: 0.8 } as const;
export const RULER_MM = 90;
const COLUMNS = 4;
const ROWS = 3;
/** Room for a small chart of 24 patches, about 125 by 90 mm. */
const CHART_MM = [130, 92] as const;
const GREY_MM = 50;

/**
 * The tray sheet: eight markers around twelve numbered places, and room for a chart.
 * Holds:   A4 carries markers 0-7 and Letter 8-15, so a photo shows which one it is
 */
export function traySheetLayout(paper: PaperName): SheetLayout {
  const [widthMm, heightMm] = PAPER_MM[paper];
  const firstId = paper === 'A4' ? 0 : 8;
  const right = widthMm - EDGE_MM - MARKER_MM;
  const bottom = heightMm - EDGE_MM - MARKER_MM;
  const corners: Point[] = [
    [EDGE_MM, EDGE_MM],
    [(widthMm - MARKER_MM) / 2, EDGE_MM],
    [right, EDGE_MM],
    [EDGE_MM, (heightMm - MARKER_MM) / 2],
    [right, (heightMm - MARKER_MM) / 2],
    [EDGE_MM, bottom],
    [(widthMm - MARKER_MM) / 2, bottom],
    [right, bottom],
  ];
  const innerLeft = EDGE_MM + MARKER_MM + 4;
  const innerWidth = widthMm - 2 * innerLeft;
  const innerTop = EDGE_MM + MARKER_MM + 2;
  const chart: SheetBox = {
    at: [(widthMm - CHART_MM[0]) / 2, bottom - 2 - CHART_MM[1]],
    widthMm: CHART_MM[0],
    heightMm: CHART_MM[1],
  };
  const pitchX = innerWidth / COLUMNS;
  const pitchY = (chart.at[1] - innerTop) / ROWS;
  const places = Array.from({ length: COLUMNS * ROWS }, (_, i): SheetPlace => {
    const column = i % COLUMNS;
    const row = Math.floor(i / COLUMNS);
    return {
      name: String(i + 1),
      centre: [innerLeft + (column + 0.5) * pitchX, innerTop + (row + 0.5) * pitchY + 2],
      sideMm: PLACE_MM,
    };
  });
  return {
    name: paper,
    widthMm,
    heightMm,
    markers: corners.map((at, i) => ({ id: firstId + i, at, sideMm: MARKER_MM })),
    places,
    chart,
    greyCard: {
      at: [(widthMm - GREY_MM) / 2, chart.at[1] + (CHART_MM[1] - GREY_MM) / 2],
      widthMm: GREY_MM,
      heightMm: GREY_MM,
    },
    crosses: true,
    printed: [{ at: [EDGE_MM, innerTop], widthMm: 12, heightMm: RULER_MM + 6 }],
  };
}

/** How far a place is outside a sheet, mm. */
export function beyondSheet({ widthMm, heightMm }: SheetLayout, [x, y]: Point): number {
  return Math.hypot(Math.max(0, -x, x - widthMm), Math.max(0, -y, y - heightMm));
}
