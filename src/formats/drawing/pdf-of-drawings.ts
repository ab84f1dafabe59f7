import PDFDocument from 'pdfkit';
import type { Drawing, DrawnThing } from '../../domain/drawing/drawing.ts';
import type { Faces } from './faces.ts';

/** PDF points in a millimetre: 72 in an inch. */
const MM = 72 / 25.4;

/**
 * Pages in millimetres as a PDF in true size, with its texts as text.
 * Holds:   the same pages give the same bytes
 * Source:  ISO 32000-1, user space of 1/72 inch
 */
export async function pdfOfDrawings(
  pages: readonly Drawing[],
  faces: Faces,
  title: string,
): Promise<Uint8Array> {
  const document = new PDFDocument({
    autoFirstPage: false,
    margin: 0,
    info: { Title: title, CreationDate: new Date(0), ModDate: new Date(0) },
  });
  const pieces: Buffer[] = [];
  document.on('data', (piece: Buffer) => pieces.push(piece));
  const ended = new Promise<void>((resolve) => document.on('end', () => resolve()));
  for (const { width, height, background, things } of pages) {
    document.addPage({ size: [width * MM, height * MM], margin: 0 });
    if (background !== '#ffffff') {
      document.rect(0, 0, width * MM, height * MM).fill(background);
    }
    for (const thing of things) draw(document, thing, faces);
  }
  document.end();
  await ended;
  return new Uint8Array(Buffer.concat(pieces));
}

function draw(page: PDFKit.PDFDocument, thing: DrawnThing, faces: Faces): void {
  switch (thing.kind) {
    case 'rect':
      page.rect(thing.x * MM, thing.y * MM, thing.w * MM, thing.h * MM).fill(thing.fill);
      return;
    case 'frame':
      page
        .lineWidth(thing.line * MM)
        .rect(thing.x * MM, thing.y * MM, thing.w * MM, thing.h * MM)
        .stroke(thing.stroke);
      return;
    case 'path':
      page
        .save()
        .translate(thing.x * MM, thing.y * MM)
        .scale(thing.scale * MM)
        .path(thing.d)
        .fill(thing.fill)
        .restore();
      return;
    case 'text': {
      const { text, size, face, fill, align = 'left' } = thing;
      const width = align === 'left' ? 0 : faces.width(text, size, face);
      const x = thing.x - (align === 'right' ? width : align === 'centre' ? width / 2 : 0);
      for (const run of faces.runs(text, size, face)) {
        const name = `${run.face} ${run.font}`;
        registered(page, name, faces.file(run.face, run.font));
        page
          .font(name)
          .fontSize(size * MM)
          .fillColor(fill)
          .text(run.text, (x + run.x) * MM, thing.y * MM, {
            lineBreak: false,
            baseline: 'alphabetic',
            features: ['lnum', 'kern'],
          });
      }
    }
  }
}

const known = new WeakMap<PDFKit.PDFDocument, Set<string>>();

function registered(page: PDFKit.PDFDocument, name: string, file: Uint8Array): void {
  const names = known.get(page) ?? new Set();
  known.set(page, names);
  if (names.has(name)) return;
  names.add(name);
  page.registerFont(name, Buffer.from(file));
}
