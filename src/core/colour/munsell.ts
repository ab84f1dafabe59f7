import { adaptXyz } from './adaptation.ts';
import { deltaE2000 } from './difference.ts';
import type { MunsellColour } from './munsell-notation.ts';
import {
  C_WHITE,
  heldChroma,
  shortTurn,
  surfaceAb,
  surfaceLab,
  valueFromLuminance,
} from './munsell-surface.ts';
import { labFromXyz, xyzFromLab } from './spaces.ts';
import type { Lab } from './triples.ts';
import { colourWeights } from './weights.ts';

/** A Munsell colour as Lab or, outside the renotation, the closest colour inside it. */
export type LabOfMunsell =
  | { readonly held: true; readonly lab: Lab }
  | { readonly held: false; readonly nearest: MunsellColour; readonly nearestLab: Lab };

/** A Lab as a Munsell colour or, outside the renotation, the closest colour inside it. */
export type MunsellOfLab =
  | { readonly held: true; readonly colour: MunsellColour }
  | {
      readonly held: false;
      readonly nearest: MunsellColour;
      /** CIEDE2000 from the given colour to the closest one. */
      readonly deltaE: number;
    };

/** Below this chroma the notation, with one decimal, would read 0. */
const NEUTRAL_CHROMA = 0.005;
const CHROMA_SLACK = 1e-6;
/** Radians within which a colour lies on a tabulated hue. */
const ON_RAY = 1e-9;

/**
 * CIELAB D50, 2 degree, of a Munsell colour.
 * Refuses: a colour outside the renotation (value 1-9, and its highest chroma there) with the
 *          closest one: hue fixed first, then value, then chroma. Neutrals are accepted for value
 *          0-10
 * Method:  `surfaceLab` under illuminant C, then Bradford to D50
 * Source:  [Newhall1943], [D1535]; oracles test/oracles/colour/renotation-real.csv,
 *          munsell-astm-d1535.csv
 */
export function labFromMunsell(colour: MunsellColour): LabOfMunsell {
  const nearest = nearestHeld(colour);
  const lab = labFromSurface(nearest);
  return nearest === colour ? { held: true, lab } : { held: false, nearest, nearestLab: lab };
}

/** `labFromMunsell` without its limits; see `surfaceLab` for how it continues beyond the table. */
export function labFromSurface(colour: MunsellColour): Lab {
  const xyz = xyzFromLab(surfaceLab(colour), C_WHITE);
  const white = colourWeights('D50', 2).white;
  return labFromXyz(adaptXyz(xyz, C_WHITE, white), white);
}

/**
 * Munsell colour of a CIELAB, D50 and 2 degree.
 * Refuses: as `labFromMunsell`
 * Method:  value from luminance; then, on the circle of that CIELAB chroma, the hue whose angle
 *          fits, found by regula falsi, and the chroma with it
 * Holds:   the inverse of `labFromMunsell` within 1e-6 of hue, value and chroma
 */
export function munsellFromLab(lab: Lab): MunsellOfLab {
  const white = colourWeights('D50', 2).white;
  const xyz = adaptXyz(xyzFromLab(lab, white), white, C_WHITE);
  const value = valueFromLuminance(xyz[1]);
  const underC = labFromXyz(xyz, C_WHITE);
  const colour = onSurface(value, underC[1], underC[2]);
  const nearest = nearestHeld(colour);
  // Luminances beyond value 0 and 10 were cut to them: those are not the colours asked for.
  const cut = xyz[1] < -1e-9 || xyz[1] > 1 + 1e-9;
  if (nearest === colour && !cut) return { held: true, colour };
  return { held: false, nearest, deltaE: deltaE2000(lab, labFromSurface(nearest)) };
}

function nearestHeld(colour: MunsellColour): MunsellColour {
  const { hue, chroma } = colour;
  if (hue === null || chroma === 0) {
    const value = Math.min(10, Math.max(0, colour.value));
    return value === colour.value ? colour : { ...colour, value };
  }
  const most = heldChroma(hue, colour.value);
  if (chroma <= most + CHROMA_SLACK) return colour;
  const value = Math.min(9, Math.max(1, colour.value));
  return { hue, value, chroma: Math.min(chroma, heldChroma(hue, value)) };
}

function onSurface(value: number, a: number, b: number): MunsellColour {
  const radius = Math.hypot(a, b);
  const angle = Math.atan2(b, a);
  const chromaAt = (hue: number) => {
    let most = 2;
    const short = (chroma: number) => Math.hypot(...surfaceAb(hue, value, chroma)) - radius;
    while (short(most) < 0 && most < 1000) most *= 2;
    return rootBetween(short, 0, most);
  };
  const turnAt = (hue: number) => {
    const ab = surfaceAb(hue, value, Math.max(chromaAt(hue), NEUTRAL_CHROMA));
    return shortTurn(Math.atan2(ab[1], ab[0]) - angle);
  };
  if (radius < 1e-9) return { hue: null, value, chroma: 0 };
  // The angle rises with hue all round where the table has the chroma. Rays extended far past their
  // end may cross, so of several hues that fit, the one deepest inside the table is used.
  let best = { hue: 0, chroma: 0, strain: Number.POSITIVE_INFINITY };
  const offer = (hue: number) => {
    const chroma = chromaAt(hue);
    const strain = chroma / heldChroma(hue, value);
    if (strain < best.strain) best = { hue, chroma, strain };
  };
  let left = turnAt(0);
  for (let from = 0; from < 100; from += 2.5) {
    const right = turnAt(from + 2.5);
    if (Math.abs(left) < ON_RAY) offer(from);
    else if (left * right < 0 && Math.abs(right - left) < Math.PI) {
      const sign = Math.sign(right);
      offer(rootBetween((hue) => sign * turnAt(hue), from, from + 2.5) % 100);
    }
    left = right;
  }
  if (best.chroma < NEUTRAL_CHROMA) return { hue: null, value, chroma: 0 };
  return { hue: best.hue, value, chroma: best.chroma };
}

/** Root of a rising function between two places by regula falsi, Illinois form. */
function rootBetween(f: (x: number) => number, from: number, to: number): number {
  let [x0, x1] = [from, to];
  let [f0, f1] = [f(x0), f(x1)];
  if (f0 >= 0) return x0;
  if (f1 <= 0) return x1;
  let lastEnd = 0;
  for (let step = 0; step < 80 && x1 - x0 > 1e-12; step++) {
    const x = (x0 * f1 - x1 * f0) / (f1 - f0);
    const fx = f(x);
    if (fx === 0) return x;
    // An end that stays twice in a row gets half its weight, or it would stay for ever.
    if (fx < 0) {
      [x0, f0] = [x, fx];
      if (lastEnd === 1) f1 /= 2;
      lastEnd = 1;
    } else {
      [x1, f1] = [x, fx];
      if (lastEnd === -1) f0 /= 2;
      lastEnd = -1;
    }
  }
  return Math.abs(f(x0)) < Math.abs(f(x1)) ? x0 : x1;
}
