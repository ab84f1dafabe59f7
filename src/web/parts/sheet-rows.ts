/** Browsers lose precision past about 17 million pixels, and some stop there. */
const TALLEST_PX = 8_000_000;
const SPARE_ROWS = 2;

/** The measured frame, and the wanted size of a cell. */
export interface SheetFrame {
  /** All there are, seen or not. */
  readonly count: number;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Least width of a cell, and the height below the tile. */
  readonly cellPx: number;
  readonly captionPx: number;
}

/** Rows of square tiles, each with its caption; only those in sight are drawn. */
export interface SheetRows {
  readonly columns: number;
  readonly cellPx: number;
  readonly rowPx: number;
  /** All rows, and how much of that the browser is asked to scroll. */
  readonly wholePx: number;
  readonly drawnPx: number;
  /** Pixels of the grid per pixel of scrolling: more than 1 where the grid is too tall to scroll. */
  readonly ratio: number;
  /** Position of the top of the frame in the grid. Unit: px of the grid. */
  topAt(scrollPx: number): number;
  /** Scroll position that puts the row of `index` at the top. */
  scrollTo(index: number): number;
  /** The first item in sight. */
  firstAt(scrollPx: number): number;
  /** The items drawn: those in sight and a few more, without `to`. */
  drawnAt(scrollPx: number): { readonly from: number; readonly to: number };
}

/**
 * The layout of a grid too long to draw.
 *
 * Holds: `firstAt` of `scrollTo(index)` is the first of that row even where the browser rounds the
 * scroll to a whole pixel, as Chromium does; otherwise coming back would drift up a row at a time.
 */
export function sheetRows({ count, widthPx, heightPx, cellPx, captionPx }: SheetFrame): SheetRows {
  const columns = Math.max(1, Math.floor(widthPx / cellPx));
  const cell = widthPx / columns;
  const row = cell + captionPx;
  const rows = Math.ceil(count / columns);
  const whole = rows * row;
  const drawn = Math.min(whole, TALLEST_PX);
  const ratio = drawn > heightPx ? (whole - heightPx) / (drawn - heightPx) : 1;
  const topAt = (scroll: number) => scroll * ratio;
  return {
    columns,
    cellPx: cell,
    rowPx: row,
    wholePx: whole,
    drawnPx: drawn,
    ratio,
    topAt,
    scrollTo: (index) => (Math.floor(index / columns) * row) / ratio,
    firstAt: (scroll) => {
      const inSight = Math.floor(topAt(scroll + 1) / row) * columns;
      return Math.max(0, Math.min(count - 1, inSight));
    },
    drawnAt: (scroll) => {
      const top = topAt(scroll);
      const firstRow = Math.max(0, Math.floor(top / row) - SPARE_ROWS);
      const lastRow = Math.min(rows, Math.ceil((top + heightPx) / row) + SPARE_ROWS);
      return { from: firstRow * columns, to: Math.min(count, lastRow * columns) };
    },
  };
}
