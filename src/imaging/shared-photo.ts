import { AppError } from '../core/errors.ts';
import { plainJpegSize, SHARED_PHOTO } from '../domain/share/shared-photo.ts';
import { decodePhoto } from './decode-photo.ts';
import { photoPreview } from './photo-preview.ts';

/** Tried from the best on, until the file is small enough. */
const QUALITIES = [82, 70, 55, 40, 25, 10];

/**
 * A photo made small for a share file: the picture alone.
 * Shape:   a photo as it was saved -> JPEG, upright, in sRGB, within `SHARED_PHOTO`
 * Refuses: what `decodePhoto` refuses
 * Holds:   the pixels are coded afresh, so that nothing else of the photo is in the file
 */
export async function sharedPhoto(photo: Uint8Array, name: string): Promise<Uint8Array> {
  const decoded = await decodePhoto(photo, name);
  for (const quality of QUALITIES) {
    const look = { longestPx: SHARED_PHOTO.longestPx, quality };
    const { jpeg } = await photoPreview(decoded, look);
    if (jpeg.length <= SHARED_PHOTO.bytes && plainJpegSize(jpeg) !== undefined) return jpeg;
  }
  throw new AppError({
    code: 'photo-too-large',
    kind: 'bad-input',
    detail: `${name} cannot be made small enough to share.`,
    hint: 'Share without photos.',
  });
}
