import { invalidInput } from '../errors.ts';

/** A decoded picture: three codes a pixel, row by row, unchanged from the file. */
export interface Picture {
  readonly width: number;
  readonly height: number;
  /** 8 or 16 bit, red, green, blue in turn. */
  readonly codes: Uint8Array | Uint16Array;
}

/** How the codes of a picture represent light. */
export interface PictureColour {
  /** Linear light 0-1 of every code, for red, green and blue. */
  readonly curves: readonly [Float32Array, Float32Array, Float32Array];
  /** XYZ (D50) of linear light, 3 x 3 by rows. */
  readonly toXyz: readonly number[];
}

/** A reduced picture for searching: three channels 0-1, in the picture's own codes. */
export interface SmallPicture {
  readonly width: number;
  readonly height: number;
  /** Pixels of the picture per pixel of the reduced one. */
  readonly factor: number;
  readonly channels: Float32Array;
}

/** Codes this close to the top count as clipped: JPEG rounds a clipped area down a little. */
const CLIPPED_FROM = 0.985;

export function checkPicture({ width, height, codes }: Picture): void {
  if (!(Number.isInteger(width) && Number.isInteger(height) && width > 0 && height > 0)) {
    throw invalidInput(`A picture of ${width} x ${height} pixels cannot be read.`);
  }
  if (codes.length !== width * height * 3) {
    throw invalidInput(
      `A picture of ${width} x ${height} pixels has ${width * height * 3} values, and ${codes.length} were given.`,
    );
  }
}

export function topCode(picture: Picture): number {
  return picture.codes instanceof Uint8Array ? 255 : 65535;
}

/** The picture with its longer side at most `longest` pixels, whole blocks averaged. */
export function smallPicture(picture: Picture, longest: number): SmallPicture {
  const { width, height, codes } = picture;
  const factor = Math.max(1, Math.ceil(Math.max(width, height) / longest));
  const w = Math.max(1, Math.floor(width / factor));
  const h = Math.max(1, Math.floor(height / factor));
  const channels = new Float32Array(w * h * 3);
  const scale = 1 / (topCode(picture) * factor * factor);
  for (let y = 0; y < h; y++) {
    for (let dy = 0; dy < factor; dy++) {
      let from = (y * factor + dy) * width * 3;
      let to = y * w * 3;
      for (let x = 0; x < w; x++, to += 3) {
        for (let dx = 0; dx < factor; dx++, from += 3) {
          channels[to] += codes[from];
          channels[to + 1] += codes[from + 1];
          channels[to + 2] += codes[from + 2];
        }
      }
    }
  }
  for (let i = 0; i < channels.length; i++) channels[i] *= scale;
  return { width: w, height: h, factor, channels };
}

/**
 * Place in the picture of a place in the reduced one; pixel centres are at whole numbers in both.
 */
export function fromSmall(factor: number, at: number): number {
  return at * factor + (factor - 1) / 2;
}

/**
 * Mean linear light of the pixels around a place.
 * Shape:   centre and half side in pixels -> red, green, blue to out[0..2], share clipped to out[3]
 * Holds:   outside the picture, its closest edge counts
 */
export function lightAround(
  out: Float64Array,
  picture: Picture,
  colour: PictureColour,
  x: number,
  y: number,
  half: number,
): void {
  const { width, height, codes } = picture;
  const within = (v: number, end: number) => Math.min(end - 1, Math.max(0, Math.round(v)));
  const x0 = within(x - half, width);
  const x1 = within(x + half, width);
  const y0 = within(y - half, height);
  const y1 = within(y + half, height);
  const [red, green, blue] = colour.curves;
  const clip = topCode(picture) * CLIPPED_FROM;
  let r = 0;
  let g = 0;
  let b = 0;
  let clipped = 0;
  for (let row = y0; row <= y1; row++) {
    let at = (row * width + x0) * 3;
    for (let column = x0; column <= x1; column++, at += 3) {
      const cr = codes[at];
      const cg = codes[at + 1];
      const cb = codes[at + 2];
      r += red[cr];
      g += green[cg];
      b += blue[cb];
      if (cr >= clip || cg >= clip || cb >= clip) clipped++;
    }
  }
  const count = (x1 - x0 + 1) * (y1 - y0 + 1);
  out[0] = r / count;
  out[1] = g / count;
  out[2] = b / count;
  out[3] = clipped / count;
}
