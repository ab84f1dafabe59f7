import { decodeQR } from 'qr/decode.js';
import sharp from 'sharp';
import { AppError } from '../core/errors.ts';

/** Longest sides at which a code is looked for, in turn: small codes need the large picture, blurred ones a small. */
const SIDES = [1600, 1000, 640, 2600] as const;
/** Most pixels of a picture that is opened. */
const MOST_PIXELS = 120_000_000;

/**
 * The text of the QR code in a photo; undefined where none can be read.
 * Shape:   bytes of a JPEG, PNG, WebP or TIFF
 * Refuses: what cannot be opened as a picture -> photo-unreadable
 */
export async function readQr(bytes: Uint8Array): Promise<string | undefined> {
  for (const side of SIDES) {
    const { data, info } = await opened(bytes, side);
    try {
      return decodeQR({ width: info.width, height: info.height, data: new Uint8Array(data) });
    } catch {
      // No code at this size: the next may show one.
    }
  }
  return undefined;
}

async function opened(bytes: Uint8Array, side: number) {
  try {
    return await sharp(bytes, { limitInputPixels: MOST_PIXELS })
      .rotate()
      .flatten({ background: '#ffffff' })
      .resize(side, side, { fit: 'inside', withoutEnlargement: true })
      .toColourspace('srgb')
      .ensureAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
  } catch (cause) {
    throw new AppError({
      code: 'photo-unreadable',
      kind: 'bad-input',
      detail: 'This file cannot be opened as a photo, so it shows no code.',
      hint: 'Choose a photo of the card as JPEG, PNG or WebP. If the photo is damaged, take it again.',
      cause,
    });
  }
}
