import { AppError } from '../core/errors.ts';
import type { PHOTO_TYPES } from '../domain/records/sample-bodies.ts';

/** What the head of a picture tells. */
export interface ImageSize {
  readonly mediaType: string;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** A hundred megapixels, what a decoder is ever given. */
const MOST_PIXELS = 100_000_000;

type PhotoType = keyof typeof PHOTO_TYPES;

/**
 * Kind and size of a picture by its head; `application/octet-stream` where the sender cannot tell the kind.
 * Refuses: no picture, another than was said -> photo-unreadable; too many pixels -> photo-too-large
 */
export function pictureSize(
  bytes: Uint8Array,
  said: string,
  imageSize: (bytes: Uint8Array) => ImageSize | undefined,
): { readonly mediaType: PhotoType; readonly widthPx: number; readonly heightPx: number } {
  const size = imageSize(bytes);
  const untold = said === 'application/octet-stream';
  if (size === undefined || !(untold || agree(said, size.mediaType))) throw notThatKind(said);
  const { widthPx, heightPx } = size;
  if (widthPx * heightPx > MOST_PIXELS) throw tooManyPixels(widthPx, heightPx);
  return { mediaType: (untold ? size.mediaType : said) as PhotoType, widthPx, heightPx };
}

/** A DNG is a TIFF by its bytes. */
function agree(said: string, found: string): boolean {
  return said === found || (said === 'image/x-adobe-dng' && found === 'image/tiff');
}

function notThatKind(mediaType: string) {
  return new AppError({
    code: 'photo-unreadable',
    kind: 'bad-input',
    detail:
      mediaType === 'application/octet-stream'
        ? 'This file is no JPEG, PNG, HEIC, TIFF or WebP picture, or is damaged at the beginning.'
        : `This file is no ${pictureName(mediaType)} picture, or is damaged at the beginning.`,
    hint: 'Send the picture as it came from the camera.',
  });
}

/** "image/jpeg" as people say it: JPEG. */
function pictureName(mediaType: string): string {
  return mediaType
    .replace(/^image\/(?:x-)?/, '')
    .replace('adobe-dng', 'DNG')
    .toUpperCase();
}

function tooManyPixels(widthPx: number, heightPx: number) {
  return new AppError({
    code: 'photo-too-large',
    kind: 'bad-input',
    detail: `This picture is ${widthPx} by ${heightPx} pixels; at most ${MOST_PIXELS / 1e6} million are taken.`,
    hint: 'Take it smaller, or cut it to the tray.',
  });
}
