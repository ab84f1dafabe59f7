import { HEIC_BRANDS } from './photo-kind.ts';

/** Type and size of a photo, from the start of the file. */
export interface ImageHead {
  readonly mediaType: 'image/jpeg' | 'image/png' | 'image/heic' | 'image/tiff' | 'image/webp';
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Most parts of the file to look at before giving up. */
const MOST_STEPS = 10_000;

/**
 * Type and size of a photo from the start of its file alone: nothing is decoded, so a picture far larger
 * than its file costs nothing. Width and height as stored, not rotated.
 * Returns: undefined for other types of file, or where the file is too damaged
 * Source:  ITU-T T.81 section B.2.2 (JPEG frame header); W3C PNG section 11.2.1; TIFF 6.0 section 2;
 *          RFC 9649 section 2 (WebP); ISO/IEC 23008-12 section 6.5.3 (`ispe` of HEIF)
 */
export function imageSize(bytes: Uint8Array): ImageHead | undefined {
  const head = new Head(bytes);
  const found =
    jpegSize(head) ?? pngSize(head) ?? webpSize(head) ?? tiffSize(head) ?? heicSize(head);
  return found !== undefined && found.widthPx >= 1 && found.heightPx >= 1 ? found : undefined;
}

/** Reads may go past the end of the file and give NaN then, which fails every comparison. */
class Head {
  readonly #view: DataView;
  readonly length: number;
  constructor(bytes: Uint8Array) {
    this.#view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    this.length = bytes.length;
  }
  uint(at: number, size: 1 | 2 | 3 | 4, little = false): number {
    if (!(at >= 0 && at + size <= this.length)) return Number.NaN;
    let value = 0;
    for (let i = 0; i < size; i++) {
      value = value * 256 + this.#view.getUint8(at + (little ? size - 1 - i : i));
    }
    return value;
  }
  text(at: number, length: number): string {
    let text = '';
    for (let i = 0; i < length; i++) text += String.fromCharCode(this.uint(at + i, 1));
    return text;
  }
}

function jpegSize(head: Head): ImageHead | undefined {
  if (head.uint(0, 3) !== 0xffd8ff) return undefined;
  let at = 2;
  for (let step = 0; step < MOST_STEPS; step++) {
    // There may be fill bytes before a marker.
    while (head.uint(at, 1) === 0xff && head.uint(at + 1, 1) === 0xff) at++;
    if (head.uint(at, 1) !== 0xff) return undefined;
    const marker = head.uint(at + 1, 1);
    const frame = marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
    if (frame) {
      return {
        mediaType: 'image/jpeg',
        heightPx: head.uint(at + 5, 2),
        widthPx: head.uint(at + 7, 2),
      };
    }
    const length = head.uint(at + 2, 2);
    if (!(length >= 2)) return undefined;
    at += 2 + length;
  }
  return undefined;
}

function pngSize(head: Head): ImageHead | undefined {
  if (head.text(0, 8) !== '\x89PNG\r\n\x1a\n' || head.text(12, 4) !== 'IHDR') return undefined;
  return { mediaType: 'image/png', widthPx: head.uint(16, 4), heightPx: head.uint(20, 4) };
}

function webpSize(head: Head): ImageHead | undefined {
  if (head.text(0, 4) !== 'RIFF' || head.text(8, 4) !== 'WEBP') return undefined;
  const mediaType = 'image/webp';
  const kind = head.text(12, 4);
  if (kind === 'VP8X') {
    return {
      mediaType,
      widthPx: head.uint(24, 3, true) + 1,
      heightPx: head.uint(27, 3, true) + 1,
    };
  }
  if (kind === 'VP8 ' && head.uint(23, 3) === 0x9d012a) {
    return {
      mediaType,
      widthPx: head.uint(26, 2, true) & 0x3fff,
      heightPx: head.uint(28, 2, true) & 0x3fff,
    };
  }
  if (kind === 'VP8L' && head.uint(20, 1) === 0x2f) {
    const bits = head.uint(21, 4, true);
    return { mediaType, widthPx: (bits & 0x3fff) + 1, heightPx: ((bits >>> 14) & 0x3fff) + 1 };
  }
  return undefined;
}

function tiffSize(head: Head): ImageHead | undefined {
  const order = head.text(0, 4);
  if (order !== 'II*\0' && order !== 'MM\0*') return undefined;
  const little = order === 'II*\0';
  // One file may contain several pictures, a small one first; the largest one would be decoded.
  let best: ImageHead | undefined;
  const seen = new Set<number>();
  const waiting = [head.uint(4, 4, little)];
  for (let step = 0; step < MOST_STEPS && waiting.length > 0; step++) {
    const at = waiting.pop()!;
    const count = head.uint(at, 2, little);
    if (at === 0 || seen.has(at) || !(count >= 1 && at + 2 + 12 * count <= head.length)) continue;
    seen.add(at);
    let widthPx = Number.NaN;
    let heightPx = Number.NaN;
    for (let i = 0; i < count && i < MOST_STEPS; i++) {
      const entry = at + 2 + 12 * i;
      const tag = head.uint(entry, 2, little);
      const short = head.uint(entry + 2, 2, little) === 3;
      const value = head.uint(entry + 8, short ? 2 : 4, little);
      if (tag === 256) widthPx = value;
      else if (tag === 257) heightPx = value;
      else if (tag === 330) {
        const many = head.uint(entry + 4, 4, little);
        for (let k = 0; k < Math.min(many, 16); k++) {
          waiting.push(many === 1 ? value : head.uint(value + 4 * k, 4, little));
        }
      }
    }
    waiting.push(head.uint(at + 2 + 12 * count, 4, little));
    if (widthPx * heightPx > (best === undefined ? 0 : best.widthPx * best.heightPx)) {
      best = { mediaType: 'image/tiff', widthPx, heightPx };
    }
  }
  return best;
}

/** Boxes that contain boxes, and how many bytes come before those. */
const HOLDERS: ReadonlyMap<string, number> = new Map([
  ['meta', 4],
  ['iprp', 0],
  ['ipco', 0],
]);

function heicSize(head: Head): ImageHead | undefined {
  if (head.text(4, 4) !== 'ftyp' || !HEIC_BRANDS.has(head.text(8, 4))) return undefined;
  let best: ImageHead | undefined;
  let steps = 0;
  const look = (from: number, to: number, depth: number): void => {
    for (let at = from; at + 8 <= to && steps++ < MOST_STEPS; ) {
      const size = head.uint(at, 4);
      const kind = head.text(at + 4, 4);
      const skip = HOLDERS.get(kind);
      const end = size === 0 ? to : at + size;
      if (!(size === 0 || size >= 8) || end > to) return;
      if (kind === 'ispe') {
        const widthPx = head.uint(at + 12, 4);
        const heightPx = head.uint(at + 16, 4);
        // The tiles of the picture and its small preview have sizes too.
        if (widthPx * heightPx > (best === undefined ? 0 : best.widthPx * best.heightPx)) {
          best = { mediaType: 'image/heic', widthPx, heightPx };
        }
      } else if (skip !== undefined && depth < 4) {
        look(at + 8 + skip, end, depth + 1);
      }
      at = end;
    }
  };
  look(0, head.length, 0);
  return best;
}
