import QRCode from 'qrcode';
import type { Drawer } from '../../book/share/drawer.ts';
import type { Faces } from './faces.ts';
import { pdfOfDrawings } from './pdf-of-drawings.ts';
import { svgOfDrawing } from './svg-of-drawing.ts';

/** Draws with some faces; `png` makes a picture of an SVG, `photo` a photo small. */
export function drawerOfFaces(
  faces: Faces,
  png: (svg: string) => Promise<Uint8Array>,
  photo: Drawer['photo'],
): Drawer {
  return {
    width: faces.width,
    // M repairs 15 % of a code, as a fold or a spot of clay takes.
    qr: (text) => QRCode.create(text, { errorCorrectionLevel: 'M' }).modules,
    svg: (drawing) => svgOfDrawing(drawing, faces),
    png: (drawing) => png(svgOfDrawing(drawing, faces)),
    photo,
    pdf: (pages, title) => pdfOfDrawings(pages, faces, title),
  };
}
