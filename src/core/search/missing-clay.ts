import type { Predictor } from '../clay/predict.ts';
import { BANDS, GRID_NM } from '../colour/grid.ts';
import { determinant, inverse, times } from '../colour/matrix.ts';
import { labFromLch, lchFromLab, xyzFromLab } from '../colour/spaces.ts';
import { type Lab, triple, type Xyz } from '../colour/triples.ts';
import type { ColourWeights } from '../colour/weights.ts';
import { claySurface, internalFromMeasured, measuredFromInternal } from '../optics/surface.ts';

/** A clay that the user does not own, described by the colour of its tile. */
export interface ImaginedClay {
  readonly lab: Lab;
  /** The model with this clay added as the last. */
  readonly predictor: Predictor;
}

/** Centres of the smooth curves that are added up to reach a colour, nm. */
const BUMPS = [390, 430, 470, 510, 550, 590, 630, 670, 710];
const WIDTH_NM = 35;
/**
 * Least and most light that a clay sends back from inside: a good black and a good white; by
 * judgement.
 */
const DARKEST = 0.02;
const LIGHTEST = 0.97;

/**
 * A model with one more opaque clay, whose own tile has a given colour.
 * Shape:   colour under the weights' light, spectrum it should resemble -> model, or undefined
 *          where no smooth reflectance between nearly black and nearly white was found that has the
 *          colour
 * Method:  the spectrum of the closest mix, or an even grey where that is too far off, is changed
 *          by smooth curves until it has the colour, with the least change. K/S of that spectrum is
 *          the clay's, with the scattering of a middling clay. Many clays may look like this: good
 *          for "would such a clay help", not for a recipe
 */
export function withImagined(
  predictor: Predictor,
  lab: Lab,
  near: Float64Array,
  weights: ColourWeights,
): ImaginedClay | undefined {
  const { model, coefficients } = predictor;
  const surface = claySurface(model.geometry);
  const between: Bounds = [
    measuredFromInternal(DARKEST, surface),
    measuredFromInternal(LIGHTEST, surface),
  ];
  const insideOf = (from: Float64Array) =>
    bentTo(from, lab, weights, between)?.map((r) => internalFromMeasured(r, surface));
  const grey = new Float64Array(BANDS).fill(xyzFromLab(lab, weights.white)[1] / weights.white[1]);
  const inside = insideOf(near) ?? insideOf(grey);
  if (inside === undefined) return undefined;
  const opaque = model.clays.findIndex(({ clayClass }) => clayClass === 'opaque');
  const template = model.clays[Math.max(0, opaque)];
  const scattering = new Float64Array(BANDS).fill(middlingScattering(predictor));
  const absorption = inside.map((r, band) => (scattering[band] * (1 - r) ** 2) / (2 * r));
  const { effect: _, ...plain } = template;
  return {
    lab,
    predictor: {
      coefficients: [...coefficients, { absorption, scattering }],
      model: {
        ...model,
        clays: [...model.clays, { ...plain, name: 'a clay not owned', clayClass: 'opaque' }],
      },
    },
  };
}

/** The colour of the same hue and lightness with another chroma. */
export function withChroma(lab: Lab, chroma: number): Lab {
  const [l, , h] = lchFromLab(lab);
  return labFromLch([l, chroma, h]);
}

function middlingScattering({ model, coefficients }: Predictor): number {
  const means = coefficients
    .filter((_, i) => model.clays[i].clayClass === 'opaque')
    .map(({ scattering }) => scattering.reduce((sum, v) => sum + v, 0) / BANDS)
    .sort((a, b) => a - b);
  return means[means.length >> 1] ?? 0.3;
}

type Bounds = readonly [least: number, most: number];

/** The spectrum of a colour with the least change, by Gauss-Newton in the logit of reflectance between two bounds. */
function bentTo(
  near: Float64Array,
  lab: Lab,
  weights: ColourWeights,
  [least, most]: Bounds,
): Float64Array | undefined {
  const goal = xyzFromLab(lab, weights.white);
  const bends = BUMPS.map((centre) =>
    Float64Array.from({ length: BANDS }, (_, band) =>
      Math.exp(-0.5 * ((GRID_NM[band] - centre) / WIDTH_NM) ** 2),
    ),
  );
  const bent = new Float64Array(BUMPS.length);
  const width = most - least;
  const start = near.map((r) => {
    const share = Math.min(1 - EDGE, Math.max(EDGE, (r - least) / width));
    return Math.log(share / (1 - share));
  });
  const spectrum = new Float64Array(BANDS);
  const slope = new Float64Array(BANDS);
  const wave = [weights.x, weights.y, weights.z];
  for (let step = 0; step < 40; step++) {
    for (let band = 0; band < BANDS; band++) {
      let z = start[band];
      for (let i = 0; i < bends.length; i++) z += bent[i] * bends[i][band];
      const share = 1 / (1 + Math.exp(-z));
      spectrum[band] = least + width * share;
      slope[band] = width * share * (1 - share);
    }
    const miss = triple(
      (axis) => goal[axis] - wave[axis].reduce((sum, v, band) => sum + v * spectrum[band], 0),
    );
    if (Math.max(...miss.map(Math.abs)) < 1e-6) return spectrum;
    const jacobian = wave.map((w) =>
      bends.map((bend) => bend.reduce((sum, v, band) => sum + w[band] * v * slope[band], 0)),
    );
    const move = leastMove(jacobian, miss);
    if (move === undefined) return undefined;
    for (let i = 0; i < bent.length; i++) bent[i] += Math.max(-1, Math.min(1, move[i]));
  }
  return undefined;
}

/** Share of the way between the bounds at which a spectrum starts at least, so that it can still be bent. */
const EDGE = 0.02;

/** Shortest x with J x = m: Jᵀ (J Jᵀ)⁻¹ m, of a 3 x n matrix. */
function leastMove(j: readonly number[][], m: Xyz): number[] | undefined {
  const g = j.map((row) => j.map((other) => row.reduce((sum, v, i) => sum + v * other[i], 0)));
  if (!(Math.abs(determinant(g)) > 1e-18)) return undefined;
  const u = times(inverse(g), m);
  return j[0].map((_, i) => j.reduce((sum, row, r) => sum + row[i] * u[r], 0));
}
