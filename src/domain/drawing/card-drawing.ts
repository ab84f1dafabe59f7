import { hexFromLab } from '../../core/colour/display.ts';
import { percentInWords } from '../powders-in-words.ts';
import {
  type CardContent,
  type CardOther,
  type CardPart,
  partsInWords,
} from '../share/card-content.ts';
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

/** Sizes of a card as a picture, px. */
export const CARD_SIZES = {
  portrait: [1080, 1350],
  square: [1080, 1080],
  landscape: [1350, 1080],
  video: [1920, 1080],
} as const;
export type CardSize = keyof typeof CARD_SIZES;

export type QrModules = { readonly size: number; readonly data: ArrayLike<number> };

/** The mark of the program, on a grid of 16: a small piece going into the lump. */
const MARK =
  'M8 1H15V8H13A2 2 0 0 0 11 10V13A2 2 0 0 1 9 15H3A2 2 0 0 1 1 13V7A2 2 0 0 1 3 5H6A2 2 0 0 0 8 3z';

/** Edge of the paper, and the quiet zone of a code in modules. */
const MARGIN = 48;
const QUIET = 4;
const UNKNOWN = '#d0d0d0';

interface Box {
  readonly x: number;
  readonly y: number;
  readonly w: number;
  readonly h: number;
}

/**
 * A recipe card as a picture.
 * Holds:   the name stands above the colour and nothing on it; the row of pieces is as wide as the colour
 */
export function cardDrawing(
  content: CardContent,
  size: CardSize,
  measure: Measure,
  qr: QrModules,
): Drawing {
  const [width, height] = CARD_SIZES[size];
  const wide = width > 1200;
  const things: DrawnThing[] = [];
  // Beside the colour where there is room, below it where there is not.
  const left = wide ? Math.round(width * (size === 'video' ? 0.6 : 0.56)) : width;
  const head = header(content, left, measure, size === 'square' ? 104 : 136);
  things.push(...head.things);
  const bench = benchOf(content, left, measure);
  const paper = wide ? 0 : size === 'square' ? 470 : 574;
  const colourHeight = height - head.height - bench.height - paper;
  const top = head.height;
  things.push({
    kind: 'rect',
    x: 0,
    y: top,
    w: left,
    h: colourHeight,
    fill: content.lab === undefined ? UNKNOWN : hexFromLab(content.lab),
  });
  things.push(...moved(bench.things, 0, top + colourHeight));
  const box = wide
    ? { x: left + MARGIN, y: 64, w: width - left - 2 * MARGIN, h: height - 112 }
    : { x: MARGIN, y: height - paper + 40, w: width - 2 * MARGIN, h: paper - 84 };
  things.push(...words(content, box, measure, qr, wide ? 'below' : 'beside'));
  return { width, height, background: GREY.paper, things };
}

function header(content: CardContent, width: number, measure: Measure, height: number) {
  const inner = width - 2 * MARGIN;
  const says = [content.counting, content.bake].map((line) =>
    fitted(measure, line, 28, 'sans', inner * 0.62),
  );
  const wordsWidth = Math.max(...says.map((line) => measure.width(line, 28, 'sans')));
  const room = inner - wordsWidth - 32;
  const size = sizeToFit(measure, content.name, 84, 'serif', room, 40);
  const things: DrawnThing[] = [
    {
      kind: 'text',
      text: fitted(measure, content.name, size, 'serif', room),
      x: MARGIN,
      y: height / 2 + size * 0.32,
      size,
      face: 'serif',
      fill: GREY.text,
    },
    ...says.map(
      (text, i): DrawnThing => ({
        kind: 'text',
        text,
        x: width - MARGIN,
        y: height / 2 - 9 + i * 40,
        size: 28,
        face: 'sans',
        fill: GREY.text,
        align: 'right',
      }),
    ),
  ];
  return { things, height };
}

/** Largest number of pieces that are drawn one by one. */
const MOST_PIECES = 48;

/** Pieces of a recipe in a row as wide as asked. */
export function piecesRow(
  parts: readonly Pick<CardPart, 'parts' | 'lab'>[],
  box: Box,
  gaps: { readonly inside: number; readonly between: number },
): DrawnThing[] {
  const total = parts.reduce((sum, part) => sum + part.parts, 0);
  const whole = parts.every(({ parts: n }) => Number.isInteger(n)) && total <= MOST_PIECES;
  const countOf = (n: number) => (whole ? n : 1);
  const gapped = parts.reduce((sum, part) => sum + (countOf(part.parts) - 1) * gaps.inside, 0);
  const room = box.w - gapped - (parts.length - 1) * gaps.between;
  const things: DrawnThing[] = [];
  let x = box.x;
  parts.forEach(({ parts: n, lab }) => {
    const fill = lab === undefined ? UNKNOWN : hexFromLab(lab);
    const w = ((n / total) * room) / countOf(n);
    for (let piece = 0; piece < countOf(n); piece++) {
      things.push({ kind: 'rect', x, y: box.y, w, h: box.h, fill });
      x += w + gaps.inside;
    }
    x += gaps.between - gaps.inside;
  });
  return things;
}

function benchOf(content: CardContent, width: number, measure: Measure) {
  const things: DrawnThing[] = [];
  const pieces = piecesRow(
    content.parts,
    { x: 0, y: 8, w: width, h: 128 },
    { inside: 4, between: 20 },
  );
  let x = MARGIN;
  let y = 216;
  for (const part of content.parts) {
    const count = partsInWords(part.parts);
    const from = [part.line, percentInWords(part.share)].filter(Boolean).join(', ');
    const name = fitted(measure, part.name, 40, 'sans', width - 2 * MARGIN - 140);
    const counted = measure.width(count, 76, 'serif') + 18;
    const wide =
      counted + Math.max(measure.width(name, 40, 'sans'), measure.width(from, 26, 'sans'));
    if (x > MARGIN && x + wide > width - MARGIN) {
      x = MARGIN;
      y += 108;
    }
    things.push(
      { kind: 'text', text: count, x, y, size: 76, face: 'serif', fill: GREY.text },
      {
        kind: 'text',
        text: name,
        x: x + counted,
        y: y - 22,
        size: 40,
        face: 'sans',
        fill: GREY.text,
      },
      {
        kind: 'text',
        text: from,
        x: x + counted,
        y: y + 10,
        size: 26,
        face: 'sans',
        fill: GREY.text,
      },
    );
    x += wide + 44;
  }
  for (const powder of content.powders) {
    y += 48;
    things.push({
      kind: 'text',
      text: fitted(measure, `and ${powder}`, 28, 'sans', width - 2 * MARGIN),
      x: MARGIN,
      y: y + 10,
      size: 28,
      face: 'sans',
      fill: GREY.text,
    });
  }
  const height = y + 36;
  return {
    height,
    things: [
      { kind: 'rect', x: 0, y: 0, w: width, h: height, fill: GREY.bench } as const,
      ...pieces,
      ...things,
    ],
  };
}

/** Side of the QR code with its quiet zone. */
const QR_SIDE = 320;

function words(
  content: CardContent,
  box: Box,
  measure: Measure,
  qr: QrModules,
  where: 'beside' | 'below',
): DrawnThing[] {
  const things: DrawnThing[] = [];
  const foot = box.y + box.h;
  const textWidth = where === 'beside' ? box.w - QR_SIDE - 48 : box.w;
  const module = QR_SIDE / (qr.size + 2 * QUIET);
  const qrX = where === 'beside' ? box.x + box.w - QR_SIDE : box.x;
  const qrY = where === 'beside' ? box.y - 8 : foot - QR_SIDE - 56;
  things.push(
    { kind: 'rect', x: qrX, y: qrY, w: QR_SIDE, h: QR_SIDE, fill: GREY.white },
    qrThing(qr, qrX + QUIET * module, qrY + QUIET * module, qr.size * module),
  );
  const lines = [content.colour, content.look, where === 'below' ? content.caution : ''].filter(
    (line) => line !== '',
  );
  const asideWidth = where === 'beside' ? QR_SIDE : box.w - QR_SIDE - 32;
  let y = where === 'beside' ? qrY + QR_SIDE + 34 : qrY + 30;
  const aside = where === 'beside' ? qrX : qrX + QR_SIDE + 32;
  for (const line of lines.flatMap((one) => wrapped(measure, one, 24, 'sans', asideWidth))) {
    if (where === 'beside' && y > foot - 8) break;
    if (where === 'below' && y > qrY + QR_SIDE) break;
    things.push(small(line, aside, y, 24));
    y += 31;
  }
  things.push(
    ...othersOf(
      content.others,
      content,
      { ...box, w: textWidth, h: where === 'beside' ? box.h : qrY - box.y - 24 },
      measure,
      where === 'beside',
    ),
  );
  const footer = foot + 28;
  const code = content.title;
  const codeWidth = measure.width(code, 26, 'sans');
  things.push(
    { kind: 'path', d: MARK, x: box.x, y: footer - 26, scale: 2, fill: GREY.text },
    small(
      fitted(
        measure,
        [content.author, content.link].filter(Boolean).join(', '),
        26,
        'sans',
        box.w - codeWidth - 90,
      ),
      box.x + 46,
      footer,
      26,
    ),
    { ...small(code, box.x + box.w, footer, 26), align: 'right' },
  );
  return things;
}

/** The same colour from other lines, as far as there is room, then the author's words. */
function othersOf(
  others: readonly CardOther[],
  content: CardContent,
  box: Box,
  measure: Measure,
  cautioned: boolean,
): DrawnThing[] {
  const things: DrawnThing[] = [];
  let y = box.y + 30;
  const foot = box.y + box.h;
  if (others.length > 0) {
    things.push({
      kind: 'text',
      text: 'The same colour, other clays',
      x: box.x,
      y,
      size: sizeToFit(measure, 'The same colour, other clays', 42, 'serif', box.w, 28),
      face: 'serif',
      fill: GREY.text,
    });
    y += 62;
  }
  for (const { line, says, parts } of others) {
    const needed = parts.length === 0 ? 40 : 120;
    if (y + needed - 40 > foot) break;
    const named = fitted(measure, line, 30, 'bold', box.w * 0.5);
    const at = box.x + measure.width(named, 30, 'bold') + 24;
    things.push(
      { kind: 'text', text: named, x: box.x, y, size: 30, face: 'bold', fill: GREY.text },
      small(fitted(measure, says, 28, 'sans', box.x + box.w - at), at, y, 28),
    );
    if (parts.length > 0) {
      things.push(
        ...piecesRow(parts, { x: box.x, y: y + 14, w: box.w, h: 44 }, { inside: 2, between: 10 }),
      );
      const recipe = parts.map(({ name, parts: n }) => `${partsInWords(n)} ${name}`).join(' + ');
      const size = sizeToFit(measure, recipe, 28, 'sans', box.w, 20);
      things.push(small(fitted(measure, recipe, size, 'sans', box.w), box.x, y + 92, size));
    }
    y += needed + 14;
  }
  const rest = [content.words ?? '', cautioned ? content.caution : '', content.licence].filter(
    (line) => line !== '',
  );
  if (others.length > 0) y += 4;
  for (const line of rest.flatMap((one) => wrapped(measure, one, 24, 'sans', box.w))) {
    if (y > foot) break;
    things.push(small(line, box.x, y, 24));
    y += 31;
  }
  return things;
}

function small(text: string, x: number, y: number, size: number) {
  return { kind: 'text', text, x, y, size, face: 'sans', fill: GREY.text } as const;
}

function moved(things: readonly DrawnThing[], dx: number, dy: number): DrawnThing[] {
  return things.map((thing) => ({ ...thing, x: thing.x + dx, y: thing.y + dy }));
}
