import { BANDS } from '../colour/grid.ts';
import {
  type FilmResult,
  filmReflectance,
  reflectanceFromRatio,
  reflectanceSlopeLogRatio,
} from '../optics/kubelka-munk.ts';
import { measuredFromInternal, measuredSlope, type Surface } from '../optics/surface.ts';
import type { ClayClass } from './clay-class.ts';
import type { Coefficients } from './prior.ts';

/** Part of a mix: which clay (index in the model) and its share of the whole. */
export interface ClayShare {
  readonly clay: number;
  readonly share: number;
}

/**
 * Shares of a recipe in the measure (volume or weight) that the clay model mixes in.
 * Shape:   whole parts by index; `amounts`, what one part of each clay of the model holds, all
 *          alike when absent
 */
export function sharesOfParts(
  parts: readonly { readonly clay: number; readonly parts: number }[],
  amounts?: readonly number[],
): ClayShare[] {
  const held = parts.map(({ clay, parts: count }) => count * (amounts?.[clay] ?? 1));
  const total = held.reduce((sum, v) => sum + v, 0);
  return parts.map(({ clay }, i) => ({ clay, share: held[i] / total }));
}

/** The backing behind a film, and the thickness of the film. */
export interface Film {
  readonly thicknessMm: number;
  /** Reflectance 0-1 of the backing, 36 bands, as seen by light inside the clay. */
  readonly backing: Float64Array;
}

/**
 * Departures from simple addition that all mixes of a set of clays share.
 *
 * `dilution`: in a mix with white, the colour of the other clays counts as K c C^dilution, where C
 * is the share of all that is not white. 0 is simple addition. Measured tints of 21 pastes at 0.3,
 * 1 and 3 parts in 100 of white grow stronger per gram by 5 % at each step, at every wavelength
 * alike, which puts it near 0.05; mixtures of several pastes, holding more colour than their tints,
 * then come out darker than their tints predict.
 *
 * `shareExponent`: u in amount = share^(1 + u), see `amountsOf`. 0 is simple addition. How strongly a
 * part counts against its share differs between kinds of clay, so the tiles themselves say it.
 *
 * `scatteringPerMm`: scattering of the white (S = 1) per mm; it matters for films only.
 */
export interface SharedPhysics {
  readonly dilution: number;
  readonly shareExponent: number;
  readonly scatteringPerMm: number;
}

/** Reflectance of a mix as an instrument reads it, and its slopes; all arrays have 36 bands. */
export interface MixSlopes {
  readonly reflectance: Float64Array;
  /** By part: change with ln K, ln S and ln amount of that clay. */
  readonly lnAbsorption: readonly Float64Array[];
  readonly lnScattering: readonly Float64Array[];
  readonly lnAmount: readonly Float64Array[];
  readonly dilution: Float64Array;
  readonly shareExponent: Float64Array;
  readonly lnScatteringPerMm: Float64Array;
}

/**
 * Reflectance of a mix and its slopes with everything that can be learned about it.
 * Shape:   n parts, coefficients by clay index -> 36 bands and their slopes
 * Units:   shares sum to 1; K and S relative to white S = 1; reflectance 0-1 as the surface shows
 *          it
 * Holds:   parts of one and the same clay give that clay; slopes are those of the value returned
 * Source:  [Duncan1940] K and S add in proportion; films [Kubelka1948]; surface [Saunderson1942]
 */
export function mixSlopes(
  given: readonly ClayShare[],
  coefficients: readonly Coefficients[],
  classes: readonly ClayClass[],
  physics: SharedPhysics,
  surface: Surface,
  film?: Film,
): MixSlopes {
  const n = given.length;
  const arrays = () => given.map(() => new Float64Array(BANDS));
  const out: MixSlopes = {
    reflectance: new Float64Array(BANDS),
    lnAbsorption: arrays(),
    lnScattering: arrays(),
    lnAmount: arrays(),
    dilution: new Float64Array(BANDS),
    shareExponent: new Float64Array(BANDS),
    lnScatteringPerMm: new Float64Array(BANDS),
  };
  const parts = amountsOf(given, classes, physics.shareExponent);
  const isWhite = classes.map((clayClass) => clayClass === 'white');
  const { colourShare, factor } = dilutionOf(parts, isWhite, physics.dilution);
  const lnColourShare = colourShare > 0 ? Math.log(colourShare) : 0;
  const filmScale = film === undefined ? 0 : film.thicknessMm * physics.scatteringPerMm;
  const result: FilmResult = { reflectance: 0, slopeLogAbsorption: 0, slopeLogScattering: 0 };
  const k = new Float64Array(n);
  const s = new Float64Array(n);
  for (let band = 0; band < BANDS; band++) {
    let absorption = 0;
    let scattering = 0;
    let colouredAbsorption = 0;
    for (let i = 0; i < n; i++) {
      const { clay, share } = parts[i];
      const white = isWhite[clay];
      k[i] = share * coefficients[clay].absorption[band] * (white ? 1 : factor);
      s[i] = share * coefficients[clay].scattering[band];
      absorption += k[i];
      scattering += s[i];
      if (!white) colouredAbsorption += k[i];
    }
    if (film === undefined) opaque(absorption, scattering, result);
    else
      filmReflectance(absorption * filmScale, scattering * filmScale, film.backing[band], result);
    const slope = measuredSlope(result.reflectance, surface);
    const byAbsorption = slope * result.slopeLogAbsorption;
    const byScattering = slope * result.slopeLogScattering;
    const colouredPart = absorption > 0 ? colouredAbsorption / absorption : 0;
    out.reflectance[band] = measuredFromInternal(result.reflectance, surface);
    out.dilution[band] = byAbsorption * colouredPart * lnColourShare;
    out.lnScatteringPerMm[band] = film === undefined ? 0 : byAbsorption + byScattering;
    for (let i = 0; i < n; i++) {
      const { clay, share } = parts[i];
      const kPart = absorption > 0 ? k[i] / absorption : 0;
      const sPart = scattering > 0 ? s[i] / scattering : 0;
      out.lnAbsorption[i][band] = byAbsorption * kPart;
      out.lnScattering[i][band] = byScattering * sPart;
      // More of one part: its own K and S rise, and all shares shrink so that they sum to 1 again.
      const ownColour = isWhite[clay] || colourShare === 0 ? 0 : share / colourShare;
      const dilutionMoves =
        colouredPart * physics.dilution * (ownColour - (colourShare > 0 ? share : 0));
      out.lnAmount[i][band] =
        byAbsorption * (kPart - share + dilutionMoves) + byScattering * (sPart - share);
    }
  }
  chainToShares(out, given, classes, physics.shareExponent);
  return out;
}

/**
 * What each share counts for: share^(1 + u) for all clays but concentrates, which count by their share.
 * A concentrate is used in so small shares that its own strength stands for the exponent (with
 * concentrates included, measured pastes were predicted worse).
 * Shape:   shares that sum to 1 -> amounts that sum to 1, in the same order
 * Holds:   u = 0 changes nothing; a clay alone stays itself
 */
export function amountsOf(
  shares: readonly ClayShare[],
  classes: readonly ClayClass[],
  shareExponent: number,
): ClayShare[] {
  const raised = shares.map(({ clay, share }) => share ** powerOf(classes[clay], shareExponent));
  const total = raised.reduce((sum, v) => sum + v, 0);
  return shares.map(({ clay }, i) => ({ clay, share: raised[i] / total }));
}

/** The power to which a share of a clay counts. */
export function powerOf(clayClass: ClayClass, shareExponent: number): number {
  return clayClass === 'concentrate' ? 1 : 1 + shareExponent;
}

/** Turns slopes with ln amount into slopes with ln share, and adds the slope with the exponent. */
function chainToShares(
  out: MixSlopes,
  shares: readonly ClayShare[],
  classes: readonly ClayClass[],
  shareExponent: number,
): void {
  const powers = shares.map(({ clay }) => powerOf(classes[clay], shareExponent));
  for (let band = 0; band < BANDS; band++) {
    let all = 0;
    let byExponent = 0;
    shares.forEach(({ clay, share }, i) => {
      const slope = out.lnAmount[i][band];
      all += powers[i] * slope;
      if (share > 0 && classes[clay] !== 'concentrate') byExponent += slope * Math.log(share);
    });
    out.shareExponent[band] = byExponent;
    // More of one part: all shares shrink so that they sum to 1 again.
    shares.forEach(({ share }, i) => {
      out.lnAmount[i][band] = powers[i] * out.lnAmount[i][band] - share * all;
    });
  }
}

/** Share of a mix that is not white, and the resulting factor on its colour. */
export function dilutionOf(
  parts: readonly ClayShare[],
  isWhite: readonly boolean[],
  exponent: number,
): { colourShare: number; factor: number } {
  let colourShare = 0;
  for (const { clay, share } of parts) if (!isWhite[clay]) colourShare += share;
  return { colourShare, factor: colourShare > 0 ? colourShare ** exponent : 1 };
}

function opaque(absorption: number, scattering: number, out: FilmResult): void {
  // Nothing scatters: black where it absorbs. A clay with neither K nor S would not be opaque at
  // all.
  const ratio = scattering === 0 ? Number.POSITIVE_INFINITY : absorption / scattering;
  out.reflectance = reflectanceFromRatio(ratio);
  out.slopeLogAbsorption = reflectanceSlopeLogRatio(ratio, out.reflectance);
  out.slopeLogScattering = -out.slopeLogAbsorption;
}
