import type { MunsellColour } from './munsell-notation.ts';
import { RENOTATION } from './munsell-renotation.data.ts';
import { labFromXyz } from './spaces.ts';
import type { Lab, Xyz } from './triples.ts';

/** Illuminant C for 2 degree, from its chromaticity x 0.31006, y 0.31616 in CIE 15. */
export const C_WHITE: Xyz = [0.31006 / 0.31616, 1, (1 - 0.31006 - 0.31616) / 0.31616];

const HUES = 40;
const LOWEST_VALUE = 1;
const HIGHEST_VALUE = RENOTATION.length;
/** Rounding error that a value gets on its way through luminance. */
const SLACK = 1e-9;
/**
 * The table ends at value 1 and 9; beyond, greys with up to this chroma are read from those planes.
 */
const NEAR_NEUTRAL = 0.3;
const TURN = 2 * Math.PI;

/** The renotation colours of one value and hue: CIELAB chroma and hue angle of chroma 2, 4, 6 … */
interface Ray {
  readonly radius: readonly number[];
  readonly angle: readonly number[];
}

const PLANES: readonly (readonly Ray[])[] = RENOTATION.map((hues, plane) => {
  const y = luminanceFromValue(plane + 1);
  return hues.map((xy) => {
    const radius: number[] = [];
    const angle: number[] = [];
    for (let i = 0; i < xy.length; i += 2) {
      const xyz: Xyz = [(xy[i] * y) / xy[i + 1], y, ((1 - xy[i] - xy[i + 1]) * y) / xy[i + 1]];
      const lab = labFromXyz(xyz, C_WHITE);
      radius.push(Math.hypot(lab[1], lab[2]));
      angle.push(Math.atan2(lab[2], lab[1]));
    }
    return { radius, angle };
  });
});

/**
 * Luminance of a Munsell value.
 * Units:   value 0-10; Y of the perfect diffuser = 1 (the 1943 tables are against smoked
 *          magnesium oxide, 0.975 of it)
 * Source:  [D1535] equation 2
 */
export function luminanceFromValue(value: number): number {
  const v = value;
  return (v * (1.1914 + v * (-0.22533 + v * (0.23352 + v * (-0.020484 + v * 0.00081939))))) / 100;
}

/** The inverse of `luminanceFromValue`, by Newton steps; values beyond 0 and 10 become 0 and 10. */
export function valueFromLuminance(luminance: number): number {
  if (!(luminance > 0)) return 0;
  if (luminance >= luminanceFromValue(10)) return 10;
  // The quintic rises everywhere and is close to 10 times the cube root, so eight steps are enough.
  let v = Math.min(10, 10 * Math.cbrt(luminance));
  for (let step = 0; step < 30; step++) {
    const slope = 1.1914 + v * (-0.45066 + v * (0.70056 + v * (-0.081936 + v * 0.00409695)));
    const move = (100 * (luminanceFromValue(v) - luminance)) / slope;
    v = Math.min(10, Math.max(0, v - move));
    if (Math.abs(move) < 1e-13) break;
  }
  return v;
}

/**
 * CIELAB under illuminant C of a Munsell colour.
 * Method:  within a value, chroma and hue angle of CIELAB run straight along chroma and from hue to
 *          hue (the radial way of ASTM D1535, in CIELAB instead of x, y); between values a* and b*
 *          run straight with V. Leaving out every second renotation colour and interpolating it so
 *          misses by 0.8 CIELAB units on average between hues, 0.9 between values, 0.4 between
 *          chromas; the same in x, y misses by 1.5 (straight 1.0), 1.5 and 0.6.
 * Limits:  past the last chroma of the table the last step is continued, and below value 1 and
 *          above 9 those planes are used: `heldChroma` gives the chroma the table itself holds
 */
export function surfaceLab(colour: MunsellColour): Lab {
  const ab = colour.hue === null ? [0, 0] : surfaceAb(colour.hue, colour.value, colour.chroma);
  const y = luminanceFromValue(colour.value);
  return [labFromXyz([0, y, 0], C_WHITE)[0], ab[0], ab[1]];
}

/** a*, b* of `surfaceLab`; hue 0-100. */
export function surfaceAb(hue: number, value: number, chroma: number): [number, number] {
  const [low, high, t] = between(value);
  const one = planeAb(PLANES[low - 1], hue, chroma);
  const other = planeAb(PLANES[high - 1], hue, chroma);
  return [one[0] + t * (other[0] - one[0]), one[1] + t * (other[1] - one[1])];
}

/**
 * Highest chroma that the renotation holds at a hue and value, 0-10.
 * Method:  the ends of the rays of the neighbouring hues and values, interpolated between them as
 *          the colours are. The table ends each ray at the MacAdam limit, which falls away between
 *          two values; requiring all four rays to be long enough would lose colours that are in the
 *          atlas
 * Limits:  outside value 1-9 only nearly neutral colours, chroma up to 0.3
 */
export function heldChroma(hue: number, value: number): number {
  if (!(value >= LOWEST_VALUE - SLACK && value <= HIGHEST_VALUE + SLACK)) {
    return value >= 0 && value <= 10 ? NEAR_NEUTRAL : 0;
  }
  const [low, high, t] = between(value);
  const [left, right, u] = hueNeighbours(hue);
  const end = (plane: number) =>
    2 *
    (PLANES[plane - 1][left].radius.length * (1 - u) + PLANES[plane - 1][right].radius.length * u);
  return end(low) * (1 - t) + end(high) * t;
}

function between(value: number): [low: number, high: number, t: number] {
  const v = Math.min(HIGHEST_VALUE, Math.max(LOWEST_VALUE, value));
  const low = Math.min(Math.floor(v), HIGHEST_VALUE - 1);
  return [low, low + 1, v - low];
}

function hueNeighbours(hue: number): [left: number, right: number, t: number] {
  // Table hue 0 is 2.5R, which is 2.5 on the scale of 100.
  const at = (((hue / 2.5 - 1) % HUES) + HUES) % HUES;
  const left = Math.floor(at);
  return [left % HUES, (left + 1) % HUES, at - left];
}

function planeAb(plane: readonly Ray[], hue: number, chroma: number): [number, number] {
  const [left, right, t] = hueNeighbours(hue);
  const [oneRadius, oneAngle] = onRay(plane[left], chroma);
  const [otherRadius, otherAngle] = onRay(plane[right], chroma);
  const radius = oneRadius + t * (otherRadius - oneRadius);
  const angle = oneAngle + t * shortTurn(otherAngle - oneAngle);
  return [radius * Math.cos(angle), radius * Math.sin(angle)];
}

function onRay(ray: Ray, chroma: number): [radius: number, angle: number] {
  const { radius, angle } = ray;
  if (chroma <= 2 || radius.length === 1) return [(radius[0] * chroma) / 2, angle[0]];
  const i = Math.min(Math.floor(chroma / 2) - 1, radius.length - 2);
  const t = chroma / 2 - 1 - i;
  return [
    radius[i] + t * (radius[i + 1] - radius[i]),
    angle[i] + t * shortTurn(angle[i + 1] - angle[i]),
  ];
}

/** The same turn within half a circle either way. */
export function shortTurn(radians: number): number {
  return radians - TURN * Math.round(radians / TURN);
}
