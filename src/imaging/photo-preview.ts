import sharp from 'sharp';
import { inverse } from '../core/colour/matrix.ts';
import { SRGB_TO_XYZ_D50, srgbEncoded } from '../core/photo/encoding.ts';
import type { DecodedPhoto } from '../verbs/photo-port.ts';

/** Longest side: sharp on a computer screen, small enough for a phone. */
const LONGEST_PX = 1600;
const QUALITY = 88;
/** Entries in the table from linear light to code. */
const STEPS = 4096;

export interface PhotoPreview {
  readonly jpeg: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
}

/**
 * A small copy of a photo for a screen.
 * Shape:   decoded photo -> JPEG, upright, longer side at most 1600 pixels, in sRGB
 * Holds:   the profile is used as in a reading; colours outside sRGB are clipped, as the copy is only for
 *          looking at
 */
export async function photoPreview({ picture, colours }: DecodedPhoto): Promise<PhotoPreview> {
  const { width, height, codes } = picture;
  const deep = codes instanceof Uint16Array;
  const { data, info } = await sharp(codes, { raw: { width, height, channels: 3 } })
    .resize(LONGEST_PX, LONGEST_PX, { fit: 'inside', withoutEnlargement: true })
    .toColourspace(deep ? 'rgb16' : 'srgb')
    .raw({ depth: deep ? 'ushort' : 'uchar' })
    .toBuffer({ resolveWithObject: true });
  const small = deep
    ? new Uint16Array(data.buffer, data.byteOffset, data.byteLength / 2)
    : new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
  const [{ curves, toXyz }] = colours;
  const m = toLinearSrgb(toXyz);
  const encode = Uint8Array.from({ length: STEPS + 1 }, (_, i) =>
    Math.round(255 * srgbEncoded(i / STEPS)),
  );
  const out = new Uint8Array(small.length);
  for (let i = 0; i < small.length; i += 3) {
    const r = curves[0][small[i]];
    const g = curves[1][small[i + 1]];
    const b = curves[2][small[i + 2]];
    for (let c = 0; c < 3; c++) {
      const light = m[3 * c] * r + m[3 * c + 1] * g + m[3 * c + 2] * b;
      out[i + c] = encode[Math.round(Math.min(1, Math.max(0, light)) * STEPS)];
    }
  }
  const jpeg = await sharp(out, { raw: { width: info.width, height: info.height, channels: 3 } })
    .jpeg({ quality: QUALITY, chromaSubsampling: '4:4:4' })
    .toBuffer();
  return { jpeg: new Uint8Array(jpeg), widthPx: info.width, heightPx: info.height };
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
