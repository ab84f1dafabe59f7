import type { Coefficients } from '../clay/prior.ts';
import { roughPredictor } from '../clay/rough-model.ts';
import { deltaE2000 } from '../colour/difference.ts';
import { BANDS } from '../colour/grid.ts';
import { labFromSpectrum, xyzFromSpectrum } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { groundUnder, type PaintLayer } from '../optics/coats.ts';
import { contrastRatio } from '../optics/kubelka-munk.ts';
import { claySurface, measuredFromInternal } from '../optics/surface.ts';
import { verdictLimit } from '../verdict/verdict.ts';

/**
 * Scattering of dry white paint for each mm. House paint hides fully at about 9 m2 a litre with 4 parts solid
 * in 10, a dry layer of 0.045 mm; a white that reflects 0.9 needs 9.1 in all for that, so 200 (from memory, no
 * source). Artists' white holds more pigment: with 300, measured blacks, earths and whites hide mid grey in 1 to
 * 3 coats and half of the yellows, reds and oranges in 2 to 5, which is common practice.
 */
const WHITE_PER_MM = 300;
/** One brushed coat, wet, and the share of it that stays: 30 to 80 µm wet, 10 to 30 dry. Common practice, no source. */
export const COAT_WET_UM = 50;
const COAT_DRY_MM = { thin: 0.01, usual: 0.02, thick: 0.03 } as const;
/** Full hiding: luminance over black is this share of that over white. [ISO6504-1], abstract. */
export const FULL_HIDING = 0.98;
/** The pale ground of a hiding test. [D2805], from memory. */
const PALE_GROUND = 0.8;
/** More coats than this are no plan. */
export const MOST_COATS = 12;
/** Coats of a white undercoat that are looked at. */
const UNDERCOATS = [0, 1, 2] as const;
/** One coat on one cm2, and to take up one piece and put it aside, min. A guess, no source. */
const MINUTES_A_CM2 = 0.1;
const MINUTES_A_PIECE = 0.2;
/** A ground counts as hidden where what still shows moves the colour by less than this, dE00. */
const HIDDEN_DE00 = verdictLimit('close');

/** A paint: what it does in a layer, and its colour where nothing shows through. */
export interface Paint {
  readonly layer: PaintLayer;
  readonly masstone: Lab;
}

export interface CoatsFound {
  /** Of the paint; `MOST_COATS` where even these do not hide the ground. */
  readonly coats: number;
  /** White ones under it. */
  readonly undercoats: number;
  readonly hides: boolean;
  /** Colour after the last coat, D50 and 2 degrees, and how far it is from the paint's own, dE00. */
  readonly lab: Lab;
  readonly dE00: number;
}

/**
 * A paint known by its colour alone: how it scatters is what measured paints of such a colour do.
 * Units:  D50 and 2 degrees
 * Limits: two paints of one colour may hide very differently; `bench/paint.ts` says how far this is off
 */
export function paintOfColour(lab: Lab): Paint {
  const { coefficients } = roughPredictor([
    {
      tile: 'paint',
      parts: [{ clay: 'paint', share: 1 }],
      colour: { kind: 'lab', lab, light: 'D50', observer: 2 },
      spread: 0.3,
      geometry: 'excluded',
      partsSpread: 0,
    },
  ]);
  return paintFrom(coefficients[0]);
}

/** A paint of known absorption and scattering, relative to a white whose scattering is 1. */
export function paintFrom({ absorption, scattering }: Coefficients): Paint {
  const perMm = (values: Float64Array) => values.map((value) => WHITE_PER_MM * value);
  const layer = { absorptionPerMm: perMm(absorption), scatteringPerMm: perMm(scattering) };
  return { layer, masstone: labOf(groundUnder(layer, THICK_MM, flat(0))) };
}

/** A layer that hides any ground. */
const THICK_MM = 50;

/**
 * The fewest coats after which a ground is as good as hidden: close to the paint's own colour, with up to two
 * white coats under it where that takes fewer in all.
 * Shape: the ground as seen by light inside the clay, 36 bands; the paint lies on it without air between
 */
export function coatsToHide(
  paint: Paint,
  ground: Float64Array,
  coatMm: number = COAT_DRY_MM.usual,
): CoatsFound {
  let best: CoatsFound | undefined;
  for (const undercoats of UNDERCOATS) {
    const under = undercoats === 0 ? ground : groundUnder(WHITE, undercoats * coatMm, ground);
    for (let coats = 1; coats <= MOST_COATS; coats++) {
      const found = { ...afterCoats(paint, under, coats, coatMm), coats, undercoats };
      const isBetter =
        best === undefined ||
        (found.hides && (!best.hides || coats + undercoats < best.coats + best.undercoats)) ||
        (!found.hides && !best.hides && found.dE00 < best.dE00);
      if (isBetter) best = found;
      if (found.hides) break;
    }
  }
  if (best === undefined) throw new Error('At least one coat is looked at.');
  return best;
}

/** The fewest and the most coats that a thick and a thin hand need. */
export function coatsByHand(
  paint: Paint,
  ground: Float64Array,
): { readonly fewest: number; readonly most: number } {
  const all = (coatMm: number) => {
    const { coats, undercoats } = coatsToHide(paint, ground, coatMm);
    return coats + undercoats;
  };
  return { fewest: all(COAT_DRY_MM.thick), most: all(COAT_DRY_MM.thin) };
}

/** The colour of a ground under so many coats. */
export function afterCoats(
  { layer, masstone }: Paint,
  ground: Float64Array,
  coats: number,
  coatMm: number = COAT_DRY_MM.usual,
): Pick<CoatsFound, 'lab' | 'dE00' | 'hides'> {
  const lab = labOf(groundUnder(layer, coats * coatMm, ground));
  const dE00 = deltaE2000(masstone, lab);
  return { lab, dE00, hides: dE00 <= HIDDEN_DE00 };
}

/**
 * How well so many coats hide whatever is under them: luminance over black by luminance over white, 1 at best.
 * Source: [ISO6504-3], [D2805] for the white ground
 */
export function contrastAfter({ layer }: Paint, coats: number): number {
  const over = (ground: number) =>
    luminanceOf(groundUnder(layer, coats * COAT_DRY_MM.usual, flat(ground)));
  return contrastRatio(over(0), over(PALE_GROUND));
}

/** Paint for an area. Units: cm2 -> ml; cm2 times µm is a ten-thousandth of a cm3. */
export function paintMl(areaCm2: number, coats: number): number {
  return (areaCm2 * coats * COAT_WET_UM) / 10_000;
}

/**
 * Time to brush a part, min.
 * Shape: area of all pieces, how many they are, all coats
 * Source: none; a guess that users replace with their own watch
 */
export function paintMinutes(areaCm2: number, pieces: number, coats: number): number {
  return coats * (areaCm2 * MINUTES_A_CM2 + pieces * MINUTES_A_PIECE);
}

/** White of the strongest hiding, for undercoats: a little of the blue end is lost. */
const WHITE: PaintLayer = {
  absorptionPerMm: flat(WHITE_PER_MM * 0.003),
  scatteringPerMm: flat(WHITE_PER_MM),
};

function flat(value: number): Float64Array {
  return new Float64Array(BANDS).fill(value);
}

/** As the eye sees it through the surface, without the gloss. */
function seen(internal: Float64Array): Float64Array {
  return internal.map((value) => measuredFromInternal(value, claySurface('excluded')));
}

function labOf(internal: Float64Array): Lab {
  return labFromSpectrum(seen(internal), colourWeights('D50', 2));
}

function luminanceOf(internal: Float64Array): number {
  return xyzFromSpectrum(seen(internal), colourWeights('D50', 2))[1];
}
