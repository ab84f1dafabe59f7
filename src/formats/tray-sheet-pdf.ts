import PDFDocument from 'pdfkit';
import { itemAt } from '../core/numeric/pairs.ts';
import { MARKER_CODES } from '../core/photo/marker-codes.ts';
import { CROSS_MM, RULER_MM, type SheetLayout } from '../core/photo/sheet-layout.ts';

/** PDF points in a millimetre: 72 in an inch. */
const MM = 72 / 25.4;
const INNER = 6;
const GREY = '#8c8c8c';

/**
 * The tray sheet as a PDF in true size.
 * Shape:   layout, texts to print beside the places (codes of the mix book, in order) -> bytes
 * Units:   every length of the layout is drawn in true mm; the ruler shows whether the printer changed that
 * Holds:   the same sheet gives the same bytes
 * Source:  ISO 32000-1, user space of 1/72 inch
 */
export async function traySheetPdf(
  layout: SheetLayout,
  codes: readonly string[],
): Promise<Uint8Array> {
  const document = new PDFDocument({
    size: [layout.widthMm * MM, layout.heightMm * MM],
    margin: 0,
    // Fixed dates, so that the same sheet gives the same bytes.
    info: { Title: `Tray sheet ${layout.name}`, CreationDate: new Date(0), ModDate: new Date(0) },
  });
  const pieces: Buffer[] = [];
  document.on('data', (piece: Buffer) => pieces.push(piece));
  const ended = new Promise<void>((resolve) => document.on('end', () => resolve()));
  drawMarkers(document, layout);
  drawPlaces(document, layout, codes);
  drawRuler(document, layout);
  drawChartPlace(document, layout);
  document.end();
  await ended;
  return new Uint8Array(Buffer.concat(pieces));
}

type Page = PDFKit.PDFDocument;

function drawMarkers(page: Page, layout: SheetLayout): void {
  for (const { id, at, sideMm } of layout.markers) {
    const code = itemAt(MARKER_CODES, id);
    const cell = sideMm / (INNER + 2);
    page.rect(at[0] * MM, at[1] * MM, sideMm * MM, sideMm * MM).fill('black');
    for (let bit = 0; bit < INNER * INNER; bit++) {
      if (Math.floor(code / 2 ** (INNER * INNER - 1 - bit)) % 2 === 0) continue;
      const x = at[0] + (1 + (bit % INNER)) * cell;
      const y = at[1] + (1 + Math.floor(bit / INNER)) * cell;
      page.rect(x * MM, y * MM, cell * MM, cell * MM).fill('white');
    }
  }
}

function drawPlaces(page: Page, layout: SheetLayout, codes: readonly string[]): void {
  for (const [i, { name, centre, sideMm }] of layout.places.entries()) {
    const [x, y] = centre;
    const { arm, width } = CROSS_MM;
    page.rect((x - arm) * MM, (y - width / 2) * MM, 2 * arm * MM, width * MM).fill('black');
    page.rect((x - width / 2) * MM, (y - arm) * MM, width * MM, 2 * arm * MM).fill('black');
    // Corners only: a whole frame would hide the edge of the tile itself.
    const half = sideMm / 2;
    for (const [sx, sy] of [
      [-1, -1],
      [1, -1],
      [1, 1],
      [-1, 1],
    ] as const) {
      page
        .moveTo((x + sx * half) * MM, (y + sy * (half - 2)) * MM)
        .lineTo((x + sx * half) * MM, (y + sy * half) * MM)
        .lineTo((x + sx * (half - 2)) * MM, (y + sy * half) * MM)
        .lineWidth(0.2 * MM)
        .stroke(GREY);
    }
    const label = codes[i] === undefined || codes[i] === '' ? name : `${name}  ${codes[i]}`;
    page
      .fillColor('black')
      .fontSize(8)
      .text(shortened(page, label, sideMm * MM), (x - half) * MM, (y - half - 4) * MM, {
        lineBreak: false,
      });
  }
}

function shortened(page: Page, text: string, width: number): string {
  if (page.widthOfString(text) <= width) return text;
  let start = text;
  while (start.length > 1 && page.widthOfString(`${start}...`) > width) start = start.slice(0, -1);
  return `${start}...`;
}

function drawRuler(page: Page, layout: SheetLayout): void {
  const [box] = layout.printed;
  if (box === undefined) return;
  const [x, y] = box.at;
  page.lineWidth(0.2 * MM);
  for (let mm = 0; mm <= RULER_MM; mm += 1) {
    const long = mm % 10 === 0 ? 5 : mm % 5 === 0 ? 3.5 : 2;
    page
      .moveTo(x * MM, (y + mm) * MM)
      .lineTo((x + long) * MM, (y + mm) * MM)
      .stroke('black');
    if (mm % 10 === 0) {
      page
        .fillColor('black')
        .fontSize(5)
        .text(String(mm), (x + 5.5) * MM, (y + mm - 0.9) * MM, { lineBreak: false });
    }
  }
  page
    .fontSize(5)
    .text('mm: print at 100 %', x * MM, (y + RULER_MM + 2) * MM, { lineBreak: false });
}

function drawChartPlace(page: Page, layout: SheetLayout): void {
  const { chart, greyCard } = layout;
  page.lineWidth(0.2 * MM).dash(2, { space: 2 });
  if (chart !== undefined) {
    page
      .rect(chart.at[0] * MM, chart.at[1] * MM, chart.widthMm * MM, chart.heightMm * MM)
      .stroke(GREY);
    page
      .fillColor(GREY)
      .fontSize(7)
      .text('chart of 24 patches, any way round', (chart.at[0] + 2) * MM, (chart.at[1] + 2) * MM, {
        lineBreak: false,
      });
  }
  if (greyCard !== undefined) {
    const { at, widthMm, heightMm } = greyCard;
    page.rect(at[0] * MM, at[1] * MM, widthMm * MM, heightMm * MM).stroke(GREY);
    page
      .fontSize(7)
      .text('or a grey card', (at[0] + 2) * MM, (at[1] + 2) * MM, { lineBreak: false });
  }
  page.undash();
}
