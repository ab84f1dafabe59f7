import { inverse } from '../colour/matrix.ts';
import { SRGB_TO_XYZ_D50, srgbEncoded } from './encoding.ts';
import type { PictureColour } from './picture.ts';

/** Entries in the table from linear light to code. */
const STEPS = 4096;

/**
 * The codes of a picture in sRGB, 8 bits.
 * Shape:   codes as red, green, blue for each pixel -> codes in the same order
 * Holds:   colours outside sRGB are clipped
 */
export function srgbCodes(
  codes: Uint8Array | Uint16Array,
  { curves, toXyz }: PictureColour,
): Uint8Array {
  const m = toLinearSrgb(toXyz);
  const encode = Uint8Array.from({ length: STEPS + 1 }, (_, i) =>
    Math.round(255 * srgbEncoded(i / STEPS)),
  );
  const out = new Uint8Array(codes.length);
  for (let i = 0; i < codes.length; i += 3) {
    const r = curves[0][codes[i]];
    const g = curves[1][codes[i + 1]];
    const b = curves[2][codes[i + 2]];
    for (let c = 0; c < 3; c++) {
      const light = m[3 * c] * r + m[3 * c + 1] * g + m[3 * c + 2] * b;
      out[i + c] = encode[Math.round(Math.min(1, Math.max(0, light)) * STEPS)];
    }
  }
  return out;
}

/** From the linear light of the photo to that of sRGB, 3 x 3 by rows. */
function toLinearSrgb(toXyz: readonly number[]): number[] {
  const s = SRGB_TO_XYZ_D50;
  const back = inverse([
    [s[0], s[1], s[2]],
    [s[3], s[4], s[5]],
    [s[6], s[7], s[8]],
  ]);
  return back.flatMap((row) =>
    [0, 1, 2].map((c) => row[0] * toXyz[c] + row[1] * toXyz[3 + c] + row[2] * toXyz[6 + c]),
  );
}
