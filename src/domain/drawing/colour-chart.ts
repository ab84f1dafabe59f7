import { hexFromLab } from '../../core/colour/display.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { itemAt } from '../../core/numeric/pairs.ts';
import { orderByColour } from '../../core/share/order-by-colour.ts';
import { PAGE_SIZES, type PageSize } from './card-page.ts';
import { type Drawing, type DrawnThing, fitted, GREY, type Measure, wrapped } from './drawing.ts';

export interface ChartEntry {
  readonly title: string;
  readonly recipe: string;
  readonly lab?: Lab;
}

const MARGIN = 12;
const GAP = 3;
const COLUMNS: Readonly<Record<PageSize, number>> = { A4: 6, A5: 4, letter: 6 };

/**
 * Colours as sheets, ordered so that neighbours lie side by side: every second row runs back.
 * Units:   mm
 * Holds:   what has no colour comes last, by its place
 */
export function colourChart(
  entries: readonly ChartEntry[],
  title: string,
  paper: PageSize,
  measure: Measure,
): readonly Drawing[] {
  const known = entries.filter((entry) => entry.lab !== undefined);
  const order = orderByColour(known.map(({ lab }) => lab!));
  const all = [
    ...order.map((i) => itemAt(known, i)),
    ...entries.filter(({ lab }) => lab === undefined),
  ];
  const back = (row: number) => row % 2 === 1;
  return sheetsOf(all, title, paper, measure, back);
}

/** Steps from one colour to another as sheets, in their order from left to right. */
export function ladderSheets(
  steps: readonly ChartEntry[],
  title: string,
  paper: PageSize,
  measure: Measure,
): readonly Drawing[] {
  return sheetsOf(steps, title, paper, measure, () => false);
}

function sheetsOf(
  all: readonly ChartEntry[],
  title: string,
  paper: PageSize,
  measure: Measure,
  runsBack: (row: number) => boolean,
): readonly Drawing[] {
  const [width, height] = PAGE_SIZES[paper];
  const columns = COLUMNS[paper];
  const side = (width - 2 * MARGIN - (columns - 1) * GAP) / columns;
  const cell = side + 12;
  const top = MARGIN + 14;
  const rows = Math.floor((height - top - MARGIN) / cell);
  const perPage = rows * columns;
  const pages: Drawing[] = [];
  for (let from = 0; from < all.length; from += perPage) {
    const things: DrawnThing[] = [
      {
        kind: 'text',
        text: fitted(measure, title, 8, 'serif', width - 2 * MARGIN),
        x: MARGIN,
        y: MARGIN + 6,
        size: 8,
        face: 'serif',
        fill: GREY.text,
      },
    ];
    all.slice(from, from + perPage).forEach((entry, i) => {
      const row = Math.floor(i / columns);
      const along = i % columns;
      const column = runsBack(row) ? columns - 1 - along : along;
      const x = MARGIN + column * (side + GAP);
      const y = top + row * cell;
      if (entry.lab === undefined) {
        things.push({ kind: 'frame', x, y, w: side, h: side, line: 0.2, stroke: '#848484' });
      } else things.push({ kind: 'rect', x, y, w: side, h: side, fill: hexFromLab(entry.lab) });
      things.push({
        kind: 'text',
        text: fitted(measure, entry.title, 3, 'bold', side),
        x,
        y: y + side + 3.6,
        size: 3,
        face: 'bold',
        fill: GREY.text,
      });
      wrapped(measure, entry.recipe, 2.4, 'sans', side)
        .slice(0, 2)
        .forEach((line, n) => {
          things.push({
            kind: 'text',
            text: fitted(measure, line, 2.4, 'sans', side),
            x,
            y: y + side + 6.8 + n * 3,
            size: 2.4,
            face: 'sans',
            fill: GREY.text,
          });
        });
    });
    pages.push({ width, height, background: GREY.white, things });
  }
  return pages;
}
