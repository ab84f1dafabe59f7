import type { QrModules } from '../../domain/drawing/card-drawing.ts';
import type { Drawing, Measure } from '../../domain/drawing/drawing.ts';

/** What draws pictures and pages; `main` brings it. */
export interface Drawer extends Measure {
  qr(text: string): QrModules;
  svg(drawing: Drawing): string;
  /** In sRGB, and says so. */
  png(drawing: Drawing): Promise<Uint8Array>;
  /** A photo made small: the picture alone, as a share file takes it. */
  photo(photo: Uint8Array, name: string): Promise<Uint8Array>;
  /** Pages in mm. */
  pdf(pages: readonly Drawing[], title: string): Promise<Uint8Array>;
}
