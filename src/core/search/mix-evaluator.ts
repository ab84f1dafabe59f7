import { classOf } from '../clay/clay-class.ts';
import type { Predictor } from '../clay/predict.ts';
import { labInto } from '../colour/spaces.ts';
import type { ColourWeights } from '../colour/weights.ts';
import { claySurface, type Gloss } from '../optics/surface.ts';

/** K and S of one clay, ready to be summed part by part. */
export interface PartCurves {
  readonly absorption: Float64Array;
  readonly scattering: Float64Array;
  readonly white: boolean;
}

/**
 * From sums of K and S to Lab, for loops that try millions of recipes: opaque mixes, no allocation,
 * no checks. Agrees with `predictMix` to rounding; `mix-evaluator.test.ts` compares the two.
 */
export interface MixEvaluator {
  /**
   * Colour of a mix, written to out[0..2].
   * Shape: sums over parts of K of whites, K of the rest and S, as many bands each as the weights have; `factor` as
   *        `dilutionOf` gives it. Sums may be on any common scale: only K/S counts.
   */
  labInto(
    out: Float64Array,
    whiteAbsorption: Float64Array,
    colourAbsorption: Float64Array,
    scattering: Float64Array,
    factor: number,
  ): void;
}

/** Opens an evaluator for one light, with or without the gloss. */
export function mixEvaluator(weights: ColourWeights, geometry: Gloss): MixEvaluator {
  const { outer, inner, glossShare } = claySurface(geometry);
  const through = (1 - outer) * (1 - inner);
  // X = base + sum w' R / (1 - k2 R): the surface's constant part is summed once.
  const wx = weights.x.map((w) => w * through);
  const wy = weights.y.map((w) => w * through);
  const wz = weights.z.map((w) => w * through);
  const bands = weights.x.length;
  const gloss = glossShare * outer;
  const { white } = weights;
  const [baseX, baseY, baseZ] = [gloss * white[0], gloss * white[1], gloss * white[2]];
  return {
    labInto(out, whiteAbsorption, colourAbsorption, scattering, factor) {
      let x = baseX;
      let y = baseY;
      let z = baseZ;
      for (let band = 0; band < bands; band++) {
        const k = whiteAbsorption[band] + factor * colourAbsorption[band];
        const s = scattering[band];
        // R / (1 - k2 R) with R = S / (K + S + sqrt(K (K + 2 S))): one root and one division.
        const body = s / (k + s + Math.sqrt(k * (k + 2 * s)) - inner * s);
        x += wx[band] * body;
        y += wy[band] * body;
        z += wz[band] * body;
      }
      labInto(out, x, y, z, white);
    },
  };
}

/** Curves of every clay of an opened model. */
export function partCurves(predictor: Predictor): PartCurves[] {
  return predictor.coefficients.map(({ absorption, scattering }, i) => ({
    absorption,
    scattering,
    white: classOf(predictor.model, i) === 'white',
  }));
}
