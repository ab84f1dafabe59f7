import { deltaE2000 } from '../src/core/colour/difference.ts';
import { BANDS } from '../src/core/colour/grid.ts';
import { labFromSpectrum, xyzFromSpectrum } from '../src/core/colour/spaces.ts';
import {
  contrastRatio,
  filmReflectance,
  ratioFromReflectance,
} from '../src/core/optics/kubelka-munk.ts';
import {
  claySurface,
  internalFromMeasured,
  measuredFromInternal,
} from '../src/core/optics/surface.ts';
import { WEIGHTS } from './watercolour-data.ts';

const SURFACE = claySurface('included');
/**
 * White card of ASTM D2805 (0.80 as read) and black card, as seen by light inside clay pressed to
 * them.
 */
const WHITE_CARD = internalFromMeasured(0.8, SURFACE);
const BLACK_CARD = 0;
const TILE_MM = 3;

/** One neutral clay: scattering per mm at which a 3 mm tile reads like an opaque one. */
export interface OpaqueLimit {
  /** Reflectance that a very thick tile reads. */
  readonly thickReads: number;
  /** Least S per mm with at most 1 dE00 between black and white card. */
  readonly cardsApart: number;
  /** Least S per mm with at most 1 dE00 between a tile on the white card and a very thick one. */
  readonly onWhite: number;
  readonly onBlack: number;
  /** Contrast ratio of the tile that is `cardsApart`. */
  readonly contrast: number;
  /** Largest dE00 of a thickness wrong by 10 % on the white and the black card, at any S. */
  readonly wrongThickness: { readonly white: number; readonly black: number };
  /** The same at the S where the cards are 5 dE00 apart: an ordinary translucent tile. */
  readonly wrongAtFive: { readonly white: number; readonly black: number };
}

export function opaqueLimits(thickReads: readonly number[]): OpaqueLimit[] {
  return thickReads.map((read) => {
    const ratio = ratioFromReflectance(internalFromMeasured(read, SURFACE));
    const tile = (perMm: number, backing: number, mm = TILE_MM) => {
      const s = perMm * mm;
      const { reflectance } = filmReflectance(ratio * s, s, backing, {
        reflectance: 0,
        slopeLogAbsorption: 0,
        slopeLogScattering: 0,
      });
      return new Float64Array(BANDS).fill(measuredFromInternal(reflectance, SURFACE));
    };
    const lab = (spectrum: Float64Array) => labFromSpectrum(spectrum, WEIGHTS);
    const thick = lab(new Float64Array(BANDS).fill(read));
    const apart = (s: number) => deltaE2000(lab(tile(s, WHITE_CARD)), lab(tile(s, BLACK_CARD)));
    const from = (backing: number) => (s: number) => deltaE2000(lab(tile(s, backing)), thick);
    const luminance = (s: number, backing: number) => xyzFromSpectrum(tile(s, backing), WEIGHTS)[1];
    const wrong = (s: number, backing: number) =>
      deltaE2000(lab(tile(s, backing)), lab(tile(s, backing, 1.1 * TILE_MM)));
    const worst = (backing: number) => Math.max(...SCALE.map((s) => wrong(s, backing)));
    const cardsApart = leastS(apart, 1);
    const five = leastS(apart, 5);
    return {
      thickReads: read,
      cardsApart,
      onWhite: leastS(from(WHITE_CARD), 1),
      onBlack: leastS(from(BLACK_CARD), 1),
      contrast: contrastRatio(luminance(cardsApart, BLACK_CARD), luminance(cardsApart, WHITE_CARD)),
      wrongThickness: { white: worst(WHITE_CARD), black: worst(BLACK_CARD) },
      wrongAtFive: { white: wrong(five, WHITE_CARD), black: wrong(five, BLACK_CARD) },
    };
  });
}

/** S per mm from 0.001 to 1000, 100 a decade. */
const SCALE = Array.from({ length: 601 }, (_, i) => 10 ** (i / 100 - 3));

/** Least S per mm from which on a difference stays at or below a limit: bisection from above. */
function leastS(difference: (s: number) => number, limit: number): number {
  const last = SCALE.findLastIndex((s) => difference(s) > limit);
  if (last < 0) return 0;
  let low = SCALE[last];
  let high = SCALE[last + 1] ?? Number.POSITIVE_INFINITY;
  for (let i = 0; i < 40 && Number.isFinite(high); i++) {
    const middle = (low + high) / 2;
    if (difference(middle) > limit) low = middle;
    else high = middle;
  }
  return high;
}
