/** What a photo in a share file may have at most. */
export const SHARED_PHOTO = { longestPx: 1200, bytes: 180_000, photos: 24 } as const;

/** Letters of the largest photo in base64. */
export const MOST_PHOTO_LETTERS = 4 * Math.ceil(SHARED_PHOTO.bytes / 3);

const [START, END, SCAN, JFIF, RESTARTS] = [0xd8, 0xd9, 0xda, 0xe0, 0xdd];
/** Tables and frames, without which no picture can be drawn: quantisation, Huffman, both kinds of frame. */
const DRAWN = [0xdb, 0xc4, 0xc0, 0xc2, RESTARTS];
const FRAMES = [0xc0, 0xc2];
/** Length of a JFIF header without a picture of its own inside. */
const JFIF_LENGTH = 16;
const JFIF_NAME = [0x4a, 0x46, 0x49, 0x46, 0];

/**
 * Width and height of a JPEG that holds a picture and nothing else.
 * Returns: undefined for any other file, and for one with places, times, comments, profiles, a second picture
 *          or bytes behind its end; so nothing private can ride along
 * Source:  ITU-T T.81, Annex B
 */
export function plainJpegSize(
  bytes: Uint8Array,
): { readonly widthPx: number; readonly heightPx: number } | undefined {
  const at = (place: number) => bytes[place] ?? -1;
  const pair = (place: number) => (at(place) << 8) | at(place + 1);
  if (at(0) !== 0xff || at(1) !== START) return undefined;
  let size: { widthPx: number; heightPx: number } | undefined;
  let place = 2;
  while (at(place) === 0xff) {
    const marker = at(place + 1);
    if (marker === END) return place + 2 === bytes.length ? size : undefined;
    const length = pair(place + 2);
    if (length < 2 || place + 2 + length > bytes.length) return undefined;
    if (marker === JFIF) {
      if (length !== JFIF_LENGTH || JFIF_NAME.some((v, i) => at(place + 4 + i) !== v)) {
        return undefined;
      }
    } else if (marker !== SCAN && !DRAWN.includes(marker)) return undefined;
    if (FRAMES.includes(marker)) {
      if (size !== undefined) return undefined;
      size = { heightPx: pair(place + 5), widthPx: pair(place + 7) };
    }
    place += 2 + length;
    if (marker === SCAN) place = endOfScan(bytes, place);
  }
  return undefined;
}

/** The next marker after the coded picture; stuffed zeros and restarts belong to the picture. */
function endOfScan(bytes: Uint8Array, from: number): number {
  for (let place = from; place + 1 < bytes.length; place++) {
    if (bytes[place] !== 0xff) continue;
    const next = bytes[place + 1] ?? 0;
    if (next === 0 || (next >= 0xd0 && next <= 0xd7)) continue;
    return place;
  }
  return bytes.length;
}

/** The bytes of a photo in a share file; undefined where they are no plain JPEG within the limits. */
export function sharedPhotoFrom(
  base64: string,
): { readonly bytes: Uint8Array; readonly widthPx: number; readonly heightPx: number } | undefined {
  const bytes = new Uint8Array(Buffer.from(base64, 'base64'));
  const size = plainJpegSize(bytes);
  if (size === undefined || bytes.length > SHARED_PHOTO.bytes) return undefined;
  const { widthPx, heightPx } = size;
  const longest = Math.max(widthPx, heightPx);
  const fits = Math.min(widthPx, heightPx) >= 1 && longest <= SHARED_PHOTO.longestPx;
  return fits ? { bytes, ...size } : undefined;
}
