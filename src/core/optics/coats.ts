import { BANDS } from '../colour/grid.ts';
import { invalidInput } from '../errors.ts';
import { type FilmResult, filmReflectance } from './kubelka-munk.ts';

/** A layer of paint: how much it absorbs and scatters for each mm, 36 bands. */
export interface PaintLayer {
  readonly absorptionPerMm: Float64Array;
  readonly scatteringPerMm: Float64Array;
}

/**
 * Wet paint spread by an area.
 * Units: m2 that one litre covers -> µm
 */
export function wetFilmUm(m2PerLitre: number): number {
  if (!(m2PerLitre > 0)) {
    throw invalidInput(`A litre of paint cannot cover ${m2PerLitre} m2.`);
  }
  return 1000 / m2PerLitre;
}

/**
 * What is seen of a ground under a layer of paint.
 * Shape:   36 bands of the ground -> 36 bands, both as seen by light inside, without a surface
 * Units:   thickness of the dry layer, mm; reflectance 0-1
 * Holds:   no thickness gives the ground; a thick layer no longer shows it
 * Source:  [Kubelka1948] film over a backing, each band by itself
 */
export function groundUnder(
  { absorptionPerMm, scatteringPerMm }: PaintLayer,
  thicknessMm: number,
  ground: Float64Array,
): Float64Array {
  const out = new Float64Array(BANDS);
  const film: FilmResult = { reflectance: 0, slopeLogAbsorption: 0, slopeLogScattering: 0 };
  for (let band = 0; band < BANDS; band++) {
    const k = absorptionPerMm[band] * thicknessMm;
    const s = scatteringPerMm[band] * thicknessMm;
    out[band] = filmReflectance(k, s, ground[band], film).reflectance;
  }
  return out;
}
