import { hexFromLab } from '../../core/colour/display.ts';
import { percentInWords } from '../powders-in-words.ts';
import { type CardContent, partsInWords } from '../share/card-content.ts';
import { piecesRow, type QrModules } from './card-drawing.ts';
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

/** Papers, mm. */
export const PAGE_SIZES = { A4: [210, 297], A5: [148, 210], letter: [215.9, 279.4] } as const;
export type PageSize = keyof typeof PAGE_SIZES;

/** One module of a code in print, mm: smaller ones are lost by a phone at arm's length. */
const MODULE_MM = 0.5;

/**
 * A recipe card as a page to print, with everything a card says.
 * Units:   mm
 */
export function cardPage(
  content: CardContent,
  paper: PageSize,
  measure: Measure,
  qr: QrModules,
): Drawing {
  const [width, height] = PAGE_SIZES[paper];
  const margin = paper === 'A5' ? 12 : 18;
  const inner = width - 2 * margin;
  const things: DrawnThing[] = [];
  let y = margin + 9;
  const text = (
    words: string,
    size: number,
    face: 'serif' | 'sans' | 'bold' = 'sans',
    room = inner,
    step = size * 1.35,
  ) => {
    for (const line of wrapped(measure, words, size, face, room)) {
      things.push({ kind: 'text', text: line, x: margin, y, size, face, fill: GREY.text });
      y += step;
    }
  };
  const title = sizeToFit(measure, content.title, 11, 'serif', inner, 6);
  things.push({
    kind: 'text',
    text: fitted(measure, content.title, title, 'serif', inner),
    x: margin,
    y,
    size: title,
    face: 'serif',
    fill: GREY.text,
  });
  y += 6;
  const tall = paper === 'A5' ? 36 : 60;
  things.push({
    kind: 'rect',
    x: margin,
    y,
    w: inner,
    h: tall,
    fill: content.lab === undefined ? '#d0d0d0' : hexFromLab(content.lab),
  });
  y += tall + 1.2;
  things.push(
    ...piecesRow(content.parts, { x: margin, y, w: inner, h: 14 }, { inside: 0.4, between: 2 }),
  );
  y += 14 + 9;
  for (const part of content.parts) {
    const count = partsInWords(part.parts);
    const from = [part.line, percentInWords(part.share)].filter(Boolean).join(', ');
    const at = margin + Math.max(12, measure.width(count, 7, 'serif') + 3);
    things.push(
      { kind: 'text', text: count, x: margin, y, size: 7, face: 'serif', fill: GREY.text },
      {
        kind: 'text',
        text: fitted(
          measure,
          part.name,
          5,
          'sans',
          inner - (at - margin) - measure.width(from, 4, 'sans') - 6,
        ),
        x: at,
        y,
        size: 5,
        face: 'sans',
        fill: GREY.text,
      },
      {
        kind: 'text',
        text: from,
        x: width - margin,
        y,
        size: 4,
        face: 'sans',
        fill: GREY.text,
        align: 'right',
      },
    );
    y += 8.5;
  }
  y += 2;
  for (const powder of content.powders) text(`and ${powder}`, 4);
  text([content.counting, content.bake].join(' '), 4);
  text([content.colour, content.look].filter(Boolean).join(' '), 4);
  text(content.caution, 4);
  if (content.words !== undefined) {
    y += 2;
    text(content.words, 4);
  }
  y += 4;
  const side = qr.size * MODULE_MM;
  const room = inner - side - 12;
  const from = y;
  if (content.others.length > 0) {
    text('The same colour, other clays', 6, 'serif', room, 8);
    for (const { line, says, parts } of content.others) {
      const recipe = parts.map(({ name, parts: n }) => `${partsInWords(n)} ${name}`).join(' + ');
      text(`${line}: ${says}`, 4, 'bold', room);
      if (parts.length > 0) {
        things.push(
          ...piecesRow(
            parts,
            { x: margin, y: y - 3, w: room, h: 5 },
            { inside: 0.3, between: 1.2 },
          ),
        );
        y += 6.5;
        text(recipe, 4, 'sans', room);
      }
      y += 1.5;
    }
  }
  const qrX = width - margin - side - 2;
  things.push(qrThing(qr, qrX, from, side));
  y = Math.max(y, from + side + 6);
  text(content.licence, 3.6);
  things.push({
    kind: 'text',
    text: fitted(
      measure,
      [content.author, content.link].filter(Boolean).join(', '),
      4.4,
      'bold',
      inner,
    ),
    x: margin,
    y: height - margin,
    size: 4.4,
    face: 'bold',
    fill: GREY.text,
  });
  return { width, height, background: GREY.white, things };
}
