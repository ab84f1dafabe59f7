import { z } from 'zod';
import { hexFromLab } from '../../core/colour/display.ts';
import type { Lab } from '../../core/colour/triples.ts';
import type { QrModules } from './card-drawing.ts';
import { PAGE_SIZES, type PageSize } from './card-page.ts';
import {
  type Drawing,
  type DrawnThing,
  fitted,
  GREY,
  type Measure,
  qrThing,
  sizeToFit,
  wrapped,
} from './drawing.ts';

const mm = (low: number, high: number) => z.number().min(low).max(high).multipleOf(0.1);

/** Any sheet of labels, by what a ruler says of it, to a tenth of a millimetre. */
export const labelSheet = z
  .strictObject({
    paper: z.enum(Object.keys(PAGE_SIZES) as [PageSize, ...PageSize[]]).default('A4'),
    columns: z.int().min(1).max(30).default(3),
    rows: z.int().min(1).max(60).default(8),
    widthMm: mm(8, 216).default(63.5),
    heightMm: mm(6, 300).default(33.9),
    /** From the left edge and the top of the paper to the first label. */
    leftMm: mm(0, 100).default(7.2),
    topMm: mm(0, 100).default(12.9),
    /** From one label to the next, edge to edge. */
    gapAcrossMm: mm(0, 50).default(2.5),
    gapDownMm: mm(0, 50).default(0),
    /** Labels that are gone from a sheet in use. */
    skip: z.int().min(0).max(500).default(0),
  })
  .readonly();
export type LabelSheet = z.output<typeof labelSheet>;

/** What stands on one label. */
export interface LabelContent {
  /** Large: a code, else a name. */
  readonly code: string;
  readonly lines: readonly string[];
  readonly lab?: Lab;
  readonly payload?: string;
}

/** Whether the labels of a sheet fit its paper; a sentence where they do not. */
export function sheetFault(sheet: LabelSheet): string | undefined {
  const [width, height] = PAGE_SIZES[sheet.paper];
  const across =
    sheet.leftMm + sheet.columns * sheet.widthMm + (sheet.columns - 1) * sheet.gapAcrossMm;
  const down = sheet.topMm + sheet.rows * sheet.heightMm + (sheet.rows - 1) * sheet.gapDownMm;
  if (across > width + 0.05)
    return `The labels are ${across.toFixed(1)} mm wide together, and the paper ${width} mm.`;
  if (down > height + 0.05)
    return `The labels are ${down.toFixed(1)} mm high together, and the paper ${height} mm.`;
  return undefined;
}

/** Inside of a label that stays empty, as printers are half a millimetre off. */
const PADDING = 1.5;
/** A hairline that marks an edge on a test page. */
const HAIR = 0.1;

/**
 * Labels on sheets; the first page, where asked, shows the edges of all labels, to be held against a sheet.
 * Units:   mm, true to a hundredth in the PDF
 */
export function labelSheets(
  labels: readonly LabelContent[],
  sheet: LabelSheet,
  measure: Measure,
  qr: (text: string) => QrModules,
  testPage: boolean,
): readonly Drawing[] {
  const perSheet = sheet.columns * sheet.rows;
  const pages: Drawing[] = testPage ? [testPageOf(sheet)] : [];
  const places = [...Array.from({ length: sheet.skip }, () => undefined), ...labels];
  for (let from = 0; from < places.length; from += perSheet) {
    const things = places.slice(from, from + perSheet).flatMap((label, i) => {
      return label === undefined ? [] : labelThings(label, placeOf(sheet, i), sheet, measure, qr);
    });
    pages.push(pageOf(sheet, things));
  }
  return pages;
}

function placeOf(sheet: LabelSheet, i: number): { readonly x: number; readonly y: number } {
  const column = i % sheet.columns;
  const row = Math.floor(i / sheet.columns);
  return {
    x: sheet.leftMm + column * (sheet.widthMm + sheet.gapAcrossMm),
    y: sheet.topMm + row * (sheet.heightMm + sheet.gapDownMm),
  };
}

function pageOf({ paper }: LabelSheet, things: readonly DrawnThing[]): Drawing {
  const [width, height] = PAGE_SIZES[paper];
  return { width, height, background: GREY.white, things };
}

function testPageOf(sheet: LabelSheet): Drawing {
  const frames = Array.from({ length: sheet.columns * sheet.rows }, (_, i): DrawnThing => {
    const { x, y } = placeOf(sheet, i);
    return {
      kind: 'frame',
      x,
      y,
      w: sheet.widthMm,
      h: sheet.heightMm,
      line: HAIR,
      stroke: '#000000',
    };
  });
  const { x, y } = placeOf(sheet, 0);
  return pageOf(sheet, [
    ...frames,
    {
      kind: 'text',
      text: 'Test page: hold it against a sheet of labels.',
      x: x + PADDING,
      y: y + 5,
      size: 2.4,
      face: 'sans',
      fill: GREY.text,
    },
    {
      kind: 'text',
      text: 'Print at 100 %, without fitting to the page.',
      x: x + PADDING,
      y: y + 9,
      size: 2.4,
      face: 'sans',
      fill: GREY.text,
    },
  ]);
}

function labelThings(
  label: LabelContent,
  { x, y }: { readonly x: number; readonly y: number },
  { widthMm, heightMm }: LabelSheet,
  measure: Measure,
  qr: (text: string) => QrModules,
): DrawnThing[] {
  const things: DrawnThing[] = [];
  const inner = {
    x: x + PADDING,
    y: y + PADDING,
    w: widthMm - 2 * PADDING,
    h: heightMm - 2 * PADDING,
  };
  let left = inner.x;
  if (label.lab !== undefined) {
    const w = Math.min(inner.h, inner.w * (label.payload === undefined ? 0.25 : 0.14));
    things.push({ kind: 'rect', x: left, y: inner.y, w, h: inner.h, fill: hexFromLab(label.lab) });
    left += w + PADDING;
  }
  let right = inner.x + inner.w;
  if (label.payload !== undefined) {
    const modules = qr(label.payload);
    const side = Math.min(inner.h, inner.w * 0.42);
    const module = side / (modules.size + 4);
    things.push(
      qrThing(modules, right - side + 2 * module, inner.y + 2 * module, modules.size * module),
    );
    right -= side + PADDING / 2;
  }
  const room = right - left;
  const small = Math.min(3.2, inner.h / 7);
  const most = Math.max(0, Math.floor(inner.h / small / 1.3) - 2);
  const lines = linesWithin(
    label.lines
      .filter((line) => line !== '')
      .slice(0, most)
      .map((line) => wrapped(measure, line, small, 'sans', room)),
    most,
  );
  const tall = inner.h - lines.length * small * 1.3;
  const code = sizeToFit(measure, label.code, Math.min(tall * 0.8, 16), 'serif', room, 2.5);
  things.push({
    kind: 'text',
    text: fitted(measure, label.code, code, 'serif', room),
    x: left,
    y: inner.y + tall / 2 + code * 0.33,
    size: code,
    face: 'serif',
    fill: GREY.text,
  });
  lines.forEach((line, i) => {
    things.push({
      kind: 'text',
      text: fitted(measure, line, small, 'sans', room),
      x: left,
      y: inner.y + tall + (i + 0.9) * small * 1.3,
      size: small,
      face: 'sans',
      fill: GREY.text,
    });
  });
  return things;
}

/** Texts in lines, at most so many of all together; the last line of a text that is cut holds its rest. */
function linesWithin(texts: readonly (readonly string[])[], most: number): readonly string[] {
  let free = most - texts.length;
  return texts.flatMap((lines) => {
    const more = Math.min(free, lines.length - 1);
    free -= more;
    return [...lines.slice(0, more), lines.slice(more).join(' ')];
  });
}
