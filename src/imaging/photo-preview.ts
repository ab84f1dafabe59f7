import sharp from 'sharp';
import { srgbCodes } from '../core/photo/srgb-codes.ts';
import type { DecodedPhoto } from '../verbs/photo-port.ts';

/** Sharp on a computer screen, small enough for a phone. */
const FOR_SCREENS = { longestPx: 1600, quality: 88 } as const;

export interface PhotoPreview {
  readonly jpeg: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
}

/**
 * A small copy of a photo for a screen.
 * Shape:   decoded photo -> JPEG, upright, longer side at most `longestPx` pixels, in sRGB
 * Holds:   the profile is used as in a reading; colours outside sRGB are clipped, as the copy is only for
 *          looking at
 */
export async function photoPreview(
  { picture, colours }: DecodedPhoto,
  { longestPx, quality }: { readonly longestPx: number; readonly quality: number } = FOR_SCREENS,
): Promise<PhotoPreview> {
  const { width, height, codes } = picture;
  const deep = codes instanceof Uint16Array;
  const { data, info } = await sharp(codes, { raw: { width, height, channels: 3 } })
    .resize(longestPx, longestPx, { fit: 'inside', withoutEnlargement: true })
    .toColourspace(deep ? 'rgb16' : 'srgb')
    .raw({ depth: deep ? 'ushort' : 'uchar' })
    .toBuffer({ resolveWithObject: true });
  const small = deep
    ? new Uint16Array(data.buffer, data.byteOffset, data.byteLength / 2)
    : new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
  const [likeliest] = colours;
  const raw = { width: info.width, height: info.height, channels: 3 } as const;
  const jpeg = await sharp(srgbCodes(small, likeliest), { raw })
    .jpeg({ quality, chromaSubsampling: '4:4:4' })
    .toBuffer();
  return { jpeg: new Uint8Array(jpeg), widthPx: info.width, heightPx: info.height };
}
