import { z } from 'zod';
import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import type { Lab } from '../core/colour/triples.ts';
import { AppError, invalidInput } from '../core/errors.ts';
import {
  afterCoats,
  coatsByHand,
  coatsToHide,
  contrastAfter,
  FULL_HIDING,
  MOST_COATS,
  type Paint,
  paintMinutes,
  paintMl,
  paintOfColour,
} from '../core/figure/paint.ts';
import type { KnownClays } from '../core/find/known-clays.ts';
import { readAim } from './aim.ts';
import { labAnswer } from './answer-parts.ts';
import type { Palette } from './figure-palette.ts';
import type { ShapeAsked } from './figure-question.ts';

export const paintAnswer = z.object({
  /** The paint's colour in words; absent where only coats were named. */
  colour: z.string().exactOptional(),
  areaCm2: z.number(),
  /** Of the paint, and white ones under it. */
  coats: z.int(),
  undercoats: z.int(),
  /** All coats with a thick and with a thin hand, where they were worked out. */
  fewest: z.int().exactOptional(),
  most: z.int().exactOptional(),
  ml: z.number(),
  minutes: z.number(),
  /** The paint's own colour, and the colour after the last coat over this clay; D50 and 2 degrees. */
  wanted: labAnswer.exactOptional(),
  lab: labAnswer.exactOptional(),
  dE00: z.number().exactOptional(),
  hides: z.boolean().exactOptional(),
  /** Luminance over black by luminance over white after these coats; 0.98 is full hiding. */
  contrast: z.number().exactOptional(),
  /** The same part in clay of the paint's colour, where that is a colour of the figure: grams and money of both. */
  instead: z
    .object({
      grams: z.number(),
      minor: z.number().exactOptional(),
      paintedMinor: z.number().exactOptional(),
    })
    .exactOptional(),
});
export type PaintAnswer = z.output<typeof paintAnswer>;

/** Area of all of a part, and how much clay it takes. */
interface Painted {
  readonly count: number;
  readonly areaCm2: number;
  /** The clay under the paint. */
  readonly colour: string;
  readonly mixedCm3: number;
}

/** Works out the paint of parts; a paint that was seen before is not worked out again. */
export function painter(clays: KnownClays, palette: Palette) {
  const paints = new Map<string, { readonly lab: Lab; readonly paint: Paint }>();
  return (asked: ShapeAsked, part: Painted): PaintAnswer | undefined => {
    const { paint: wanted, coats } = asked;
    if (wanted === undefined && coats === undefined) return undefined;
    if (coats !== undefined && !(Number.isInteger(coats) && coats >= 1 && coats <= 20)) {
      throw invalidInput(`There cannot be ${coats} coats of paint.`, 'Give a number from 1 to 20.');
    }
    const { areaCm2, count } = part;
    const needs = (all: number) => ({
      ml: paintMl(areaCm2, all),
      minutes: paintMinutes(areaCm2, count, all),
    });
    if (wanted === undefined) {
      const all = coats ?? 0;
      return { areaCm2, coats: all, undercoats: 0, ...needs(all) };
    }
    const { lab, paint } = paintOf(wanted);
    const ground = palette.insideOf(part.colour);
    const found = coatsFor(paint, ground, coats);
    const own = clayOf(wanted, part);
    return {
      colour: wanted,
      areaCm2,
      ...found,
      ...needs(found.coats + found.undercoats),
      wanted: lab,
      ...(own === undefined ? {} : { instead: own }),
    };
  };

  function paintOf(words: string) {
    const known = paints.get(words);
    if (known !== undefined) return known;
    const lab = labOf(words);
    const made = { lab, paint: paintOfColour(lab) };
    paints.set(words, made);
    return made;
  }

  function labOf(words: string): Lab {
    const name = palette.known(words);
    const lab = name === undefined ? undefined : palette.labOf(name);
    if (lab !== undefined) return lab;
    if (name !== undefined) {
      throw new AppError({
        code: 'aim-unreadable',
        kind: 'bad-input',
        detail: `The colour of ${name} is not known, so no paint can be like it.`,
        hint: 'Give the colour of the paint, like #8a9b6c.',
      });
    }
    return readAim(words, HOUSE_VIEWING, clays).lab;
  }

  /** The part in clay of the paint's colour, beside the clay that is painted. */
  function clayOf(words: string, { colour, mixedCm3 }: Painted): PaintAnswer['instead'] {
    const name = palette.known(words);
    if (name === undefined) return undefined;
    const minor = palette.minorOf(name, mixedCm3);
    const paintedMinor = palette.minorOf(colour, mixedCm3);
    return {
      grams: mixedCm3 * palette.densityOfAny(name),
      ...(minor === undefined ? {} : { minor }),
      ...(paintedMinor === undefined ? {} : { paintedMinor }),
    };
  }
}

function coatsFor(
  paint: Paint,
  ground: Float64Array | undefined,
  given: number | undefined,
): Pick<
  PaintAnswer,
  'coats' | 'undercoats' | 'fewest' | 'most' | 'lab' | 'dE00' | 'hides' | 'contrast'
> {
  if (ground === undefined) {
    let coats = given ?? 1;
    while (given === undefined && coats < MOST_COATS && contrastAfter(paint, coats) < FULL_HIDING) {
      coats++;
    }
    return { coats, undercoats: 0, contrast: contrastAfter(paint, coats) };
  }
  if (given !== undefined) {
    const after = afterCoats(paint, ground, given);
    return { coats: given, undercoats: 0, contrast: contrastAfter(paint, given), ...after };
  }
  const { coats, undercoats, lab, dE00, hides } = coatsToHide(paint, ground);
  const contrast = contrastAfter(paint, coats);
  return { coats, undercoats, lab, dE00, hides, contrast, ...coatsByHand(paint, ground) };
}
