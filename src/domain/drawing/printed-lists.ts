import { hexFromLab } from '../../core/colour/display.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { PAGE_SIZES, type PageSize } from './card-page.ts';
import { type Drawing, type DrawnThing, fitted, GREY, type Measure, wrapped } from './drawing.ts';

/** A row of a printed list: a colour, something large, what stands beside it. */
export interface ListRow {
  readonly lab?: Lab;
  readonly large: string;
  readonly words: string;
}

const MARGIN = 18;
const ROW = 12;
/** Size of the words beside a colour. */
const WORDS = 4.4;

/**
 * A list to print, such as the short names of a book or what each pupil of a class gets.
 * Units:   mm
 */
export function printedList(
  rows: readonly ListRow[],
  head: { readonly title: string; readonly says: readonly string[] },
  paper: PageSize,
  measure: Measure,
): readonly Drawing[] {
  const [width, height] = PAGE_SIZES[paper];
  const inner = width - 2 * MARGIN;
  const pages: Drawing[] = [];
  let left = [...rows];
  do {
    const things: DrawnThing[] = [
      {
        kind: 'text',
        text: fitted(measure, head.title, 9, 'serif', inner),
        x: MARGIN,
        y: MARGIN + 7,
        size: 9,
        face: 'serif',
        fill: GREY.text,
      },
    ];
    let y = MARGIN + 17;
    const says = pages.length === 0 ? head.says : [];
    for (const line of says.flatMap((one) => wrapped(measure, one, 4, 'sans', inner))) {
      things.push({
        kind: 'text',
        text: line,
        x: MARGIN,
        y,
        size: 4,
        face: 'sans',
        fill: GREY.text,
      });
      y += 5.6;
    }
    const fit = Math.max(1, Math.floor((height - MARGIN - y) / ROW));
    for (const { lab, large, words } of left.slice(0, fit)) {
      const lines = twoLines(measure, words, inner - 58);
      things.push(
        lab === undefined
          ? { kind: 'frame', x: MARGIN, y, w: 16, h: ROW - 2, line: 0.2, stroke: '#848484' }
          : { kind: 'rect', x: MARGIN, y, w: 16, h: ROW - 2, fill: hexFromLab(lab) },
        {
          kind: 'text',
          text: fitted(measure, large, 6.5, 'serif', 34),
          x: MARGIN + 20,
          y: y + 7.4,
          size: 6.5,
          face: 'serif',
          fill: GREY.text,
        },
        ...lines.map(
          (text, i): DrawnThing => ({
            kind: 'text',
            text,
            x: MARGIN + 58,
            y: y + (lines.length === 1 ? 7.2 : 4.6 + 5 * i),
            size: WORDS,
            face: 'sans',
            fill: GREY.text,
          }),
        ),
      );
      y += ROW;
    }
    left = left.slice(fit);
    pages.push({ width, height, background: GREY.white, things });
  } while (left.length > 0);
  return pages;
}

/** Words over two lines at most; what is longer ends with dots. */
function twoLines(measure: Measure, words: string, width: number): readonly string[] {
  const [first = '', ...rest] = wrapped(measure, words, WORDS, 'sans', width);
  return rest.length === 0
    ? [first]
    : [first, fitted(measure, rest.join(' '), WORDS, 'sans', width)];
}
