import { labUnder, type Viewing } from '../core/colour/adaptation.ts';
import { labFromHex } from '../core/colour/display.ts';
import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import { labFromMunsell } from '../core/colour/munsell.ts';
import { formatMunsell, parseMunsell } from '../core/colour/munsell-notation.ts';
import type { Lab } from '../core/colour/triples.ts';
import { AppError } from '../core/errors.ts';
import { clayIndex, type KnownClays } from '../core/find/known-clays.ts';
import { predictViewed } from '../core/find/predicted-mix.ts';
import { nearestNames } from '../core/notation/nearest-name.ts';
import { clayKey, parseRecipe, type Recipe, sharesOf } from '../core/notation/notation.ts';
import { pairs } from '../core/numeric/pairs.ts';
import { powdersNotPredicted } from '../domain/powders-in-words.ts';
import type { AimTaken } from './answer-parts.ts';
import type { AimAsked } from './question-parts.ts';

const AXES = [
  { name: 'L', least: 0, most: 100 },
  { name: 'a', least: -200, most: 200 },
  { name: 'b', least: -200, most: 200 },
];

/**
 * The colour wanted, from what was asked: L, a, b under the viewing, a screen colour, a Munsell notation,
 * and where clays are at hand one of them or a recipe of them, as it is predicted.
 * Refuses: anything else -> aim-unreadable (bad-input), with the closest name; a clay of a recipe that
 *          is not known -> clay-unknown
 * Limits:  the effect of powders in a mix of the book is not predicted, and a note says so; a screen colour or a Munsell notation says nothing about other lights; there the colour
 *          that looks alike is taken (`labUnder`), and a note says so
 */
export function readAim(aim: AimAsked, viewing: Viewing, clays?: KnownClays): AimTaken {
  if (typeof aim === 'string') return aimFromWords(aim.trim(), viewing, clays);
  if (!('recipe' in aim)) return { lab: aim, words: aim.join(','), notes: [] };
  if (clays === undefined)
    throw unreadableAim(`"${aim.words}" is a mix, and no clays are at hand.`);
  const taken = predictedAim(clays, aim.recipe, aim.words, viewing);
  const { powders = [] } = aim;
  if (powders.length === 0) return taken;
  const notPredicted = powdersNotPredicted(powders.map(({ name }) => name));
  return { ...taken, notes: [...taken.notes, notPredicted] };
}

/** A colour of a question that asks for several. */
export interface ColourAsked {
  /** Its place among those asked for. */
  readonly at: number;
  readonly lab: Lab;
  readonly called: string;
}

/** The colours that can be read, and what is wrong with each of the others. */
export function coloursAsked(
  question: { readonly aims: readonly AimAsked[]; readonly called?: readonly string[] },
  clays: KnownClays,
): { readonly colours: readonly ColourAsked[]; readonly refused: readonly string[] } {
  const colours: ColourAsked[] = [];
  const refused: string[] = [];
  question.aims.forEach((aim, at) => {
    const name = question.called?.[at];
    try {
      const { lab, words } = readAim(aim, HOUSE_VIEWING, clays);
      colours.push({ at, lab, called: name ?? words });
    } catch (fault) {
      if (!(fault instanceof AppError) || fault.kind !== 'bad-input') throw fault;
      refused.push(`${name ?? `Colour ${at + 1}`}: ${fault.detail} ${fault.hint}`);
    }
  });
  return { colours, refused };
}

/** Whether words are a colour by themselves: L, a, b, a screen colour or a Munsell notation. */
export function isColour(words: string): boolean {
  const text = words.trim();
  return /^#/.test(text) || labFrom(text) !== undefined || munsellLab(text, []) !== undefined;
}

function aimFromWords(words: string, viewing: Viewing, clays: KnownClays | undefined): AimTaken {
  const lab = labFrom(words);
  if (lab !== undefined) return { lab, words, notes: [] };
  if (/^#/.test(words)) return daylight(labFromHex(words), words, viewing, []);
  if (clays?.indexOf.has(clayKey(words)) === true) {
    return predictedAim(clays, [{ clay: words, parts: 1 }], words, viewing);
  }
  const notes: string[] = [];
  const munsell = munsellLab(words, notes);
  if (munsell !== undefined) return daylight(munsell, words, viewing, notes);
  const recipe = clays === undefined ? undefined : recipeIn(words);
  if (clays !== undefined && recipe !== undefined && recipe.length > 1) {
    return predictedAim(clays, recipe, words, viewing);
  }
  throw unreadableAim(
    `"${words.slice(0, 40)}" is not a colour that can be read.`,
    nearestNames(words, clays?.names ?? []),
  );
}

function daylight(house: Lab, words: string, viewing: Viewing, notes: string[]): AimTaken {
  if (viewing.light !== HOUSE_VIEWING.light || viewing.observer !== HOUSE_VIEWING.observer) {
    notes.push(
      `${words} is a colour in daylight; under ${viewing.light} and ${viewing.observer} degrees the one that looks alike is aimed at.`,
    );
  }
  return { lab: labUnder(house, HOUSE_VIEWING, viewing), words, notes };
}

function predictedAim(
  clays: KnownClays,
  recipe: Recipe,
  words: string,
  viewing: Viewing,
): AimTaken {
  const parts = sharesOf(recipe).map(({ clay, share }) => ({
    clay: clayIndex(clays, clay),
    share,
  }));
  const { lab, plusMinus } = predictViewed(clays.predictor, parts, viewing);
  const notes = [`${words} is taken as it is predicted, ± ${plusMinus.toFixed(1)}.`];
  return { lab, words, notes };
}

function recipeIn(words: string): Recipe | undefined {
  try {
    return parseRecipe(words);
  } catch (fault) {
    if (fault instanceof AppError) return undefined;
    throw fault;
  }
}

function labFrom(text: string): Lab | undefined {
  // With semicolons or spaces between, a comma is a decimal sign.
  const tight = text.replace(/\s*,\s+/g, ',');
  const parts = /[;\s]/.test(tight)
    ? tight.split(/\s*;\s*|\s+/).map((part) => part.replace(',', '.'))
    : tight.split(',');
  if (!parts.every((part) => /^[+-]?(?:\d+\.?\d*|\.\d+)$/.test(part))) return undefined;
  const [l, a, b, ...more] = parts.map(Number);
  if (l === undefined || a === undefined || b === undefined || more.length > 0) return undefined;
  const lab: Lab = [l, a, b];
  for (const [{ name, least, most }, value] of pairs(AXES, lab)) {
    if (value < least || value > most) {
      throw unreadableAim(
        `The aim's ${name} is ${value}; it must be between ${least} and ${most}.`,
      );
    }
  }
  return lab;
}

function munsellLab(text: string, notes: string[]): Lab | undefined {
  let read: ReturnType<typeof labFromMunsell>;
  try {
    read = labFromMunsell(parseMunsell(text));
  } catch (fault) {
    if (fault instanceof AppError) return undefined;
    throw fault;
  }
  if (read.held) return read.lab;
  const closest = formatMunsell(read.nearest);
  notes.push(`${text} is further out than the Munsell tables go; ${closest} is aimed at.`);
  return read.nearestLab;
}

function unreadableAim(detail: string, close: readonly string[] = []): AppError {
  return new AppError({
    code: 'aim-unreadable',
    kind: 'bad-input',
    detail,
    hint:
      close.length > 0
        ? `Did you mean ${close.join(' or ')}?`
        : 'Give L,a,b like 60,-20,20, a screen colour like #8a9b6c, Munsell like "5GY 6/4", or the name of a clay.',
  });
}
