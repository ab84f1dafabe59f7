import { BANDS } from '../src/core/colour/grid.ts';
import {
  type FilmResult,
  filmReflectance,
  ratioFromReflectance,
  reflectanceFromRatio,
} from '../src/core/optics/kubelka-munk.ts';
import {
  internalFromMeasured,
  measuredFromInternal,
  measuredSlope,
  type Surface,
} from '../src/core/optics/surface.ts';

/** One way of applying the theory of films to paint on paper. */
export interface FilmTheory {
  readonly surface: Surface;
  /**
   * The backing as seen by light inside the paint. `bare`: the paper as measured. `joined`: the
   * paper behind the paint's own surface, so that no paint at all gives the reading of the paper.
   * `gap`: air between paint and paper, with the paint's inner reflection towards it.
   */
  readonly contact: 'bare' | 'joined' | 'gap';
  /** K/S of the paper under paint over that of the dry paper: pores filled with paint scatter less. */
  readonly wetting: number;
  /** Thickness grows as volume to this power: 1 where a brush covers the same area every time. */
  readonly spreadPower: number;
  /** Standard deviation of ln thickness over the area of one layer (lognormal, mean kept). */
  readonly unevenness: number;
  /** Share of the area where the paper shows. */
  readonly bareShare: number;
  /**
   * How transmittances are read when they are fitted too. `diffuse`: all light that comes through,
   * as in the theory of films, over that through the bare paper. `straight`: only light neither
   * absorbed nor scattered, exp(-(K / 2 + loss S) X); K is twice the absorption of a straight beam
   * because diffuse light travels twice the distance.
   */
  readonly transmitted:
    | { readonly kind: 'none' | 'diffuse' }
    | { readonly kind: 'straight'; readonly loss: number };
  /** Whether the two paints of a mix form two layers instead of mixing. */
  readonly settled: boolean;
}

/** The textbook formula without additions. */
export const PLAIN: FilmTheory = {
  surface: { outer: 0, inner: 0, glossShare: 1 },
  contact: 'joined',
  wetting: 1,
  spreadPower: 1,
  unevenness: 0,
  bareShare: 0,
  transmitted: { kind: 'none' },
  settled: false,
};

/** Absorption and scattering of a layer of 0.04 ml of one paint, 36 bands each. */
export interface PaintOptics {
  readonly absorption: Float64Array;
  readonly scattering: Float64Array;
}
export type Paints = ReadonlyMap<string, PaintOptics>;

/** The paints of a layer and their volumes. */
export type Parts = readonly { readonly paint: string; readonly volumeMl: number }[];

const UNIT_ML = 0.04;

/** Normal distribution at seven points: Gauss-Hermite. Source: [AbramowitzStegun1964] table 25.10 */
const HERMITE: readonly (readonly [node: number, weight: number])[] = [
  [-3.750439717725742, 5.482688559722184e-4],
  [-2.366759410734541, 3.075712396758647e-2],
  [-1.154405394739968, 2.401231786050125e-1],
  [0, 4.571428571428573e-1],
  [1.154405394739968, 2.401231786050125e-1],
  [2.366759410734541, 3.075712396758647e-2],
  [3.750439717725742, 5.482688559722184e-4],
];
const EVEN: typeof HERMITE = [[0, 1]];

/** Thickness over mean thickness, and the share of the painted area that has it. */
export function thicknesses({ unevenness }: FilmTheory): { times: number; share: number }[] {
  return (unevenness === 0 ? EVEN : HERMITE).map(([node, share]) => ({
    // E exp(u z - u^2 / 2) = 1 for a standard normal z.
    times: Math.exp(unevenness * node - unevenness ** 2 / 2),
    share,
  }));
}

/**
 * Share of diffuse light from outside that a surface of index 1.5 reflects: Fresnel, all angles.
 */
const OUTER_DIFFUSE = 0.092;

/** Reflectance 0-1 of the paper as seen by light inside the paint, 36 bands. */
export function backingOf(theory: FilmTheory, paper: Float64Array): Float64Array {
  const { surface, contact, wetting } = theory;
  return paper.map((read) => {
    const dry = contact === 'joined' ? internalFromMeasured(read, surface) : read;
    const wet = reflectanceFromRatio(wetting * ratioFromReflectance(dry));
    if (contact !== 'gap' || surface.inner === 0) return wet;
    const { inner } = surface;
    return inner + ((1 - inner) * (1 - OUTER_DIFFUSE) * wet) / (1 - OUTER_DIFFUSE * wet);
  });
}

/** Volume of each part of a layer, in layers of 0.04 ml. */
export function amountsOf(theory: FilmTheory, parts: Parts): number[] {
  const total = parts.reduce((sum, { volumeMl }) => sum + volumeMl, 0);
  const thickness = (total / UNIT_ML) ** theory.spreadPower;
  return parts.map(({ volumeMl }) => (thickness * volumeMl) / total);
}

/** One band of a brushed layer as read, with its slopes. */
export interface BrushedLayer {
  reflectance: number;
  reflectanceByLnK: number;
  reflectanceByLnS: number;
  transmittance: number;
  transmittanceByLnK: number;
  transmittanceByLnS: number;
}

const film: FilmResult = { reflectance: 0, slopeLogAbsorption: 0, slopeLogScattering: 0 };

/** Averages one band over the thicknesses of a layer; `k` and `s` are those of its mean thickness. */
export function brushedLayer(
  theory: FilmTheory,
  spread: readonly { readonly times: number; readonly share: number }[],
  k: number,
  s: number,
  backing: number,
  paper: number,
): BrushedLayer {
  const { surface, bareShare, transmitted } = theory;
  const out: BrushedLayer = {
    reflectance: bareShare * paper,
    reflectanceByLnK: 0,
    reflectanceByLnS: 0,
    transmittance: bareShare,
    transmittanceByLnK: 0,
    transmittanceByLnS: 0,
  };
  for (const { times, share: part } of spread) {
    const share = part * (1 - bareShare);
    const kHere = k * times;
    const sHere = s * times;
    filmReflectance(kHere, sHere, backing, film);
    const slope = share * measuredSlope(film.reflectance, surface);
    out.reflectance += share * measuredFromInternal(film.reflectance, surface);
    out.reflectanceByLnK += slope * film.slopeLogAbsorption;
    out.reflectanceByLnS += slope * film.slopeLogScattering;
    if (transmitted.kind === 'straight') {
      const through = share * Math.exp(-kHere / 2 - transmitted.loss * sHere);
      out.transmittance += through;
      out.transmittanceByLnK -= (kHere / 2) * through;
      out.transmittanceByLnS -= transmitted.loss * sHere * through;
    } else if (transmitted.kind === 'diffuse') {
      const through = diffuseTransmittance(kHere, sHere, backing);
      out.transmittance += share * through;
      const up = 1 + NUDGE;
      out.transmittanceByLnK +=
        (share * (diffuseTransmittance(kHere * up, sHere, backing) - through)) / NUDGE;
      out.transmittanceByLnS +=
        (share * (diffuseTransmittance(kHere, sHere * up, backing) - through)) / NUDGE;
    }
  }
  return out;
}

const NUDGE = 1e-5;

/** Light through film and paper over light through the paper alone. Source: [Kubelka1948], [Kubelka1954] */
export function diffuseTransmittance(k: number, s: number, backing: number): number {
  const y = Math.sqrt(k * (k + 2 * s));
  if (y > 300) return 0;
  const sinhOverY = y < 1e-4 ? 1 : Math.sinh(y) / y;
  const denominator = (k + s) * sinhOverY + Math.cosh(y);
  return 1 / (denominator - s * sinhOverY * backing);
}

/**
 * Reflectance of a layer of one or more paints as read: K and S add by volume.
 * Shape:   parts and paper of 36 bands -> 36 bands
 */
export function layerReflectance(
  theory: FilmTheory,
  paints: Paints,
  parts: Parts,
  paper: Float64Array,
): Float64Array {
  const backing = backingOf(theory, paper);
  const amounts = amountsOf(theory, parts);
  const spread = thicknesses(theory);
  const out = new Float64Array(BANDS);
  for (let band = 0; band < BANDS; band++) {
    const ks = parts.map(({ paint }, i) => amounts[i] * paints.get(paint)!.absorption[band]);
    const ss = parts.map(({ paint }, i) => amounts[i] * paints.get(paint)!.scattering[band]);
    const under = (k: number, s: number, below: number) =>
      brushedLayer(theory, spread, k, s, below, paper[band]).reflectance;
    if (theory.settled && parts.length === 2) {
      // It is not known which of two paints sinks, so both orders count half.
      const inside = (i: number) => filmReflectance(ks[i], ss[i], backing[band], film).reflectance;
      out[band] = (under(ks[0], ss[0], inside(1)) + under(ks[1], ss[1], inside(0))) / 2;
    } else {
      const sum = (values: number[]) => values.reduce((a, b) => a + b, 0);
      out[band] = under(sum(ks), sum(ss), backing[band]);
    }
  }
  return out;
}
