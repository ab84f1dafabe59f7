import { invalidInput } from '../errors.ts';

/**
 * Reflectance of an opaque layer from its ratio of absorption to scattering.
 * Shape:   one value -> one value
 * Units:   ratio K/S >= 0 or Infinity (S = 0), reflectance 0-1, internal (no surface)
 * Holds:   K/S 0 gives 1; K/S -> Infinity gives 0; no cancellation at either end, because
 *          1 + q - sqrt(q^2 + 2q) is written as 1 / (1 + q + sqrt(q^2 + 2q))
 * Source:  [KubelkaMunk1931] infinite thickness
 */
export function reflectanceFromRatio(ratio: number): number {
  return 1 / (1 + ratio + Math.sqrt(ratio * (ratio + 2)));
}

/**
 * Ratio K/S of an opaque layer from its internal reflectance.
 * Units:   reflectance in (0, 1] -> K/S; 0 gives Infinity
 * Source:  [KubelkaMunk1931]
 */
export function ratioFromReflectance(reflectance: number): number {
  return (1 - reflectance) ** 2 / (2 * reflectance);
}

/**
 * Change of opaque reflectance with the natural logarithm of K/S: -R sqrt(q / (q + 2)).
 * Finite for every q, so a fit in log K and log S never meets the infinite slope at q = 0.
 */
export function reflectanceSlopeLogRatio(ratio: number, reflectance: number): number {
  return ratio === Number.POSITIVE_INFINITY ? 0 : -reflectance * Math.sqrt(ratio / (ratio + 2));
}

/** Reflectance of a film and its slopes, filled in by {@link filmReflectance}. */
export interface FilmResult {
  reflectance: number;
  /** Change of reflectance with ln(K X). */
  slopeLogAbsorption: number;
  /** Change of reflectance with ln(S X). */
  slopeLogScattering: number;
}

/**
 * Share of incident light that a layer on a backing sends back, with its slopes.
 * Shape:   one band
 * Units:   absorption k = K X and scattering s = S X of the whole layer, both >= 0 and without
 *          unit; backing and result 0-1, internal (no surface)
 * Refuses: negative or NaN values, infinite scattering, a backing above 1 -> invalid-input
 * Holds:   no layer (k = s = 0) gives the backing; a thick layer nears its opaque limit; k = 0 and
 *          s = 0 are ordinary values: with y = sqrt(k (k + 2s)) and g = y coth y the formula reads
 *          (s (1 - Rg) + Rg (g - k)) / (s (1 - Rg) + k + g), which divides by neither
 * Source:  [KubelkaMunk1931] hyperbolic form, [Kubelka1948]
 */
export function filmReflectance(
  absorption: number,
  scattering: number,
  backing: number,
  out: FilmResult,
): FilmResult {
  const k = absorption;
  const s = scattering;
  if (!(k >= 0 && s >= 0 && s < Number.POSITIVE_INFINITY && backing >= 0 && backing <= 1)) {
    throw invalidInput(
      `A film got absorption ${k}, scattering ${s}, backing ${backing}; they start at 0, and a backing ends at 1.`,
    );
  }
  if (k === Number.POSITIVE_INFINITY) {
    out.reflectance = 0;
    out.slopeLogAbsorption = 0;
    out.slopeLogScattering = 0;
    return out;
  }
  // Two roots, since the product of two large numbers may overflow.
  const y = Math.sqrt(k) * Math.sqrt(k + 2 * s);
  const g = yCothY(y);
  const h = slopeOfYCothYOverY(y);
  const sum = k + s;
  // s (1 - Rg) and not s - Rg s: over a white backing the two cancel in a thick film.
  const unlit = s * (1 - backing);
  const numerator = unlit + backing * (g - k);
  const denominator = unlit + k + g;
  const r = numerator / denominator;
  // dg/dk = h (k + s), dg/ds = h k, since y^2 = k^2 + 2 k s.
  const gk = h * sum;
  const gs = h * k;
  out.reflectance = r;
  out.slopeLogAbsorption = (k * (-backing * (1 - gk) - r * (1 + gk))) / denominator;
  out.slopeLogScattering = (s * (1 - backing * (1 - gs) - r * (1 - backing + gs))) / denominator;
  return out;
}

const SERIES_BELOW = 1e-2;
const COTH_IS_ONE_ABOVE = 20;

function yCothY(y: number): number {
  if (y < SERIES_BELOW) return 1 + (y * y) / 3 - y ** 4 / 45;
  return y > COTH_IS_ONE_ABOVE ? y : y / Math.tanh(y);
}

/** (d/dy of y coth y) / y, which tends to 2/3 at y = 0. */
function slopeOfYCothYOverY(y: number): number {
  if (y < SERIES_BELOW) return 2 / 3 - (4 * y * y) / 45;
  if (y > COTH_IS_ONE_ABOVE) return 1 / y;
  const sinh = Math.sinh(y);
  return (1 / Math.tanh(y) - y / (sinh * sinh)) / y;
}

/**
 * Contrast ratio: how much of a backing's difference a film hides, luminance over the dark backing
 * divided by luminance over the pale one. 1 hides fully; 0.98 is called full hiding.
 * Units:   luminances 0-1
 * Refuses: a pale-backing luminance of 0 or less -> invalid-input
 * Source:  [ISO6504-3]
 */
export function contrastRatio(luminanceOverDark: number, luminanceOverPale: number): number {
  if (!(luminanceOverPale > 0)) {
    throw invalidInput(
      `A contrast ratio needs light over the pale backing, got ${luminanceOverPale}.`,
    );
  }
  return luminanceOverDark / luminanceOverPale;
}
