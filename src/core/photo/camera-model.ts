import { srgbDecoded } from './encoding.ts';

/** Which colour terms the correction sums: the three channels, or these and the roots of their products. */
export type Terms = 'linear' | 'root';
export const TERM_COUNT: Readonly<Record<Terms, number>> = { linear: 3, root: 6 };

/** Positions of the numbers that come before the matrix. */
export const TONE = 0;
export const BLACK = 2;
export const SLOPE = 5;
export const BEFORE_MATRIX = 7;

/** One colour as recorded by the camera, and its place. */
export interface Seen {
  /** sRGB-encoded, 0-1. */
  readonly code: readonly [number, number, number];
  /**
   * Light at that place, of each channel, over that at the middle of the chart; from white paper.
   */
  readonly light: readonly [number, number, number];
  /** Place relative to the chart: -1 to 1 from edge to edge, across and down. */
  readonly u: number;
  readonly v: number;
}

/**
 * From the camera's code to XYZ, undoing camera and light in reverse order: tone curve, black
 * level, slope of the light, colour terms, matrix.
 * Shape:   numbers: tone 2, black 3, slope 2, then the matrix by rows (3 x terms) -> XYZ in
 *          out[0..2]
 * Holds:   with 0 for tone, black and slope the code is plain sRGB; doubling the light doubles
 *          every term, so the root terms keep the colour when the exposure changes
 * Source:  [Finlayson2015] for the root-polynomial terms of degree 2. The tone curve bends the code
 *          by a e(1-e) + b e(1-e)(1-2e): brightening and contrast with fixed ends; our own choice
 */
export function xyzOfCode(
  out: Float64Array,
  numbers: Float64Array,
  terms: Terms,
  seen: Seen,
): void {
  termsOfCode(scratch, numbers, terms, seen);
  const count = TERM_COUNT[terms];
  for (let row = 0; row < 3; row++) {
    let sum = 0;
    const at = BEFORE_MATRIX + row * count;
    for (let k = 0; k < count; k++) sum += numbers[at + k] * scratch[k];
    out[row] = sum;
  }
}

const scratch = new Float64Array(6);

/** The colour terms of a code, before the matrix. */
export function termsOfCode(
  out: Float64Array,
  numbers: Float64Array,
  terms: Terms,
  { code, light: fell, u, v }: Seen,
): void {
  const light = Math.exp(-(numbers[SLOPE] * u + numbers[SLOPE + 1] * v));
  for (let c = 0; c < 3; c++) {
    out[c] = ((srgbDecoded(linearised(code[c], numbers)) - numbers[BLACK + c]) * light) / fell[c];
  }
  if (terms === 'linear') return;
  out[3] = meanRoot(out[0], out[1]);
  out[4] = meanRoot(out[1], out[2]);
  out[5] = meanRoot(out[0], out[2]);
}

/** A code with the tone curve of the camera removed. */
export function linearised(e: number, numbers: Float64Array): number {
  const bow = e * (1 - e);
  return e + bow * (numbers[TONE] + numbers[TONE + 1] * (1 - 2 * e));
}

/** Root of a product; 0 where noise makes a channel negative. */
function meanRoot(a: number, b: number): number {
  return a > 0 && b > 0 ? Math.sqrt(a * b) : 0;
}

/** Mean linear light of a code with the tone curve removed, before the black level is taken off. */
export function lightOfCode([r, g, b]: Seen['code'], numbers: Float64Array): number {
  const light = (e: number) => srgbDecoded(linearised(e, numbers));
  return (light(r) + light(g) + light(b)) / 3;
}
