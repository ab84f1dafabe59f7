import { describe, expect, it } from 'vitest';
import { SRGB_TO_XYZ_D50, srgbDecoded, srgbEncoded } from './encoding.ts';
import type { FoundSheet } from './find-sheet.ts';
import { type PaperLight, paperLight } from './paper-light.ts';
import { paperRing } from './paper-ring.ts';
import type { PictureColour } from './picture.ts';
import { traySheetLayout } from './sheet-layout.ts';

const PX_A_MM = 2;
const layout = traySheetLayout('A4');
const [width, height] = [layout.widthMm * PX_A_MM, layout.heightMm * PX_A_MM];
const sheet = {
  layout,
  view: {
    perspective: [PX_A_MM, 0, 0, 0, PX_A_MM, 0, 0, 0, 1],
    middle: [width / 2, height / 2],
    reach: height / 2,
    bend: 0,
  },
} as unknown as FoundSheet;
const curve = Float32Array.from({ length: 256 }, (_, code) => srgbDecoded(code / 255));
const colour = {
  curves: [curve, curve, curve],
  toXyz: SRGB_TO_XYZ_D50,
} as unknown as PictureColour;
const { centre } = layout.places[5];

/** A sheet of even paper under a shadow, with a green tile of 24 mm. */
function ringUnder(shade: (dx: number, dy: number) => number, on = sheet) {
  const codes = new Uint8Array(width * height * 3);
  for (let i = 0; i < width * height; i++) {
    const dx = (i % width) / PX_A_MM - centre[0];
    const dy = Math.floor(i / width) / PX_A_MM - centre[1];
    const tile = Math.max(Math.abs(dx), Math.abs(dy)) < 12;
    [0.6, 0.6, 0.6].forEach((paper, c) => {
      const light = (tile ? [0.05, 0.3, 0.05][c] : paper) * shade(dx, dy);
      codes[3 * i + c] = Math.round(255 * srgbEncoded(light));
    });
  }
  const paperUnder: PaperLight = paperLight(
    Array.from({ length: 900 }, (_, k) => ({
      at: [(k % 30) * 7, Math.floor(k / 30) * 9.9] as const,
      light: [0.6, 0.6, 0.6] as const,
    })),
    layout,
  )!;
  return paperRing({ width, height, codes }, colour, on, paperUnder, centre, undefined)!;
}

/** Codes of 8 bit give light to half a per cent here. */
const WITHIN = 0.02;

describe('the paper round a tile', () => {
  it('is as predicted where nothing is wrong', () => {
    const { beside, edge } = ringUnder(() => 1);
    expect(Math.abs(beside)).toBeLessThan(WITHIN);
    expect(edge).toBe(0);
  });

  it('shows a shadow that the sheet did not show', () => {
    expect(Math.abs(ringUnder(() => 0.6).beside - Math.log(0.6))).toBeLessThan(WITHIN);
  });

  it('shows the edge of a shadow that runs over the tile, and half its step', () => {
    const { beside, edge } = ringUnder((dx, dy) => (dx + 0.4 * dy > 2 ? 0.6 : 1));
    expect(Math.abs(beside)).toBeLessThan(WITHIN);
    expect(Math.abs(edge + Math.log(0.6) / 2)).toBeLessThan(WITHIN);
  });

  it('is not judged where the table begins', () => {
    const table = { ...sheet, layout: { ...layout, widthMm: centre[0] - 16 } };
    const outside = ringUnder((dx) => (dx > -16 ? 0.3 : 1), table);
    expect(outside).toBeUndefined();
  });

  it('does not mistake a thing that touches the ring for a shadow', () => {
    expect(ringUnder((dx, dy) => (Math.hypot(dx - 20, dy) < 5 ? 0.6 : 1)).edge).toBe(0);
  });
});
