import { AppError } from '../errors.ts';
import { DISPLAY_P3, type ScreenSpace, SRGB } from './screen-space.ts';
import { labFromLch, lchFromLab } from './spaces.ts';
import type { Lab } from './triples.ts';

/** A colour for a screen. Rounded to 8 bits in `hex`, unrounded in `rgb`. */
export interface ScreenColour {
  /** 0-1 each, gamma-encoded as the space says. */
  readonly rgb: readonly [number, number, number];
  /** What to write in CSS: '#8a3b2c', or 'color(display-p3 0.5133 0.2461 0.1953)'. */
  readonly css: string;
  /** Whether the screen can show the colour itself. */
  readonly shown: boolean;
  /**
   * The colour shown: the colour itself, or the closest of its hue and lightness. D50, 2 degree.
   */
  readonly lab: Lab;
}

/** Half a step of 8 bits: rounding brings such a colour into range, and no eye sees it. */
const SLACK = 0.5 / 255;
/** Halvings of the chroma: 2^-26 of 200 is far below a step of the screen. */
const HALVINGS = 26;
const HEX = /^#?([0-9a-f]{3}|[0-9a-f]{6})$/i;

/**
 * sRGB of a CIELAB, D50 and 2 degree.
 * Shape:   [L, a, b] -> css '#rrggbb', rgb, what is shown and whether that is the colour
 * Method:  CSS Color 4 conversion (Bradford D50 to D65). A colour the screen cannot show keeps hue
 *          and lightness (CIELAB LCh), and its chroma is lowered until it fits; lightness is held
 *          to 0-100
 * Source:  [CSSColor4]; oracles test/oracles/colour/srgb-conversions.csv,
 *          css-color4-conversions.csv
 */
export function srgbFromLab(lab: Lab): ScreenColour {
  const fitted = nearestShown(lab, SRGB);
  return { ...fitted, css: hexOf(fitted.rgb) };
}

/** '#rrggbb' of a CIELAB, D50 and 2 degree, where only the code is needed. */
export function hexFromLab(lab: Lab): string {
  return srgbFromLab(lab).css;
}

/** As `srgbFromLab`, for screens with the wider Display P3. */
export function displayP3FromLab(lab: Lab): ScreenColour {
  const fitted = nearestShown(lab, DISPLAY_P3);
  const css = `color(display-p3 ${fitted.rgb.map((v) => v.toFixed(4)).join(' ')})`;
  return { ...fitted, css };
}

/**
 * CIELAB, D50 and 2 degree, of an sRGB code: '#8a3b2c', '8A3B2C' or '#abc'.
 * Refuses: anything else -> bad-hex (bad-input)
 */
export function labFromHex(hex: string): Lab {
  const digits = HEX.exec(hex.trim())?.[1];
  if (digits === undefined) {
    throw new AppError({
      code: 'bad-hex',
      kind: 'bad-input',
      detail: `"${hex.slice(0, 40)}" is not a screen colour.`,
      hint: 'Write six digits 0-9 or a-f like #8a3b2c.',
    });
  }
  const pairs = digits.length === 3 ? digits.replace(/./g, '$&$&') : digits;
  const part = (at: number) => Number.parseInt(pairs.slice(at, at + 2), 16) / 255;
  return labFromSrgb([part(0), part(2), part(4)]);
}

/** CIELAB, D50 and 2 degree, of gamma-encoded sRGB, 0-1. */
export function labFromSrgb(rgb: readonly [number, number, number]): Lab {
  return SRGB.toLab(rgb);
}

/** CIELAB, D50 and 2 degree, of gamma-encoded Display P3, 0-1. */
export function labFromDisplayP3(rgb: readonly [number, number, number]): Lab {
  return DISPLAY_P3.toLab(rgb);
}

function nearestShown(lab: Lab, space: ScreenSpace): Omit<ScreenColour, 'css'> {
  const direct = space.fromLab(lab);
  if (fits(direct)) return { rgb: clip(direct), shown: true, lab };
  const [lightness, chroma, hue] = lchFromLab(lab);
  const held = Math.min(100, Math.max(0, lightness));
  const at = (c: number) => labFromLch([held, c, hue]);
  let low = 0;
  let high = chroma;
  for (let step = 0; step < HALVINGS; step++) {
    const middle = (low + high) / 2;
    if (fits(space.fromLab(at(middle)))) low = middle;
    else high = middle;
  }
  const shownLab = at(low);
  return { rgb: clip(space.fromLab(shownLab)), shown: false, lab: shownLab };
}

type Three = readonly [number, number, number];

function fits(rgb: Three): boolean {
  return rgb.every((v) => v >= -SLACK && v <= 1 + SLACK);
}

function clip(rgb: Three): [number, number, number] {
  const within = (v: number) => Math.min(1, Math.max(0, v));
  return [within(rgb[0]), within(rgb[1]), within(rgb[2])];
}

function hexOf(rgb: Three): string {
  return `#${rgb
    .map((v) =>
      Math.round(v * 255)
        .toString(16)
        .padStart(2, '0'),
    )
    .join('')}`;
}
