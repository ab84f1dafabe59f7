import { labUnder, type Viewing } from '../core/colour/adaptation.ts';
import { labFromHex } from '../core/colour/display.ts';
import { labFromMunsell } from '../core/colour/munsell.ts';
import { formatMunsell, parseMunsell } from '../core/colour/munsell-notation.ts';
import type { Lab } from '../core/colour/triples.ts';
import { AppError } from '../core/errors.ts';

export interface Aim {
  /** Under the viewing asked for. */
  readonly lab: Lab;
  readonly written: string;
  /** What was taken on the way, in plain sentences. */
  readonly notes: readonly string[];
}

const HOUSE: Viewing = { light: 'D50', observer: 2 };
const RANGES = [
  [0, 100],
  [-200, 200],
  [-200, 200],
] as const;

/**
 * An aim as she gives it: `60,-20,20` (L, a, b under the viewing asked for), `#8a9b6c`, or a
 * Munsell notation such as `5GY 6/4`.
 * Refuses: anything else -> aim-unreadable (bad-input)
 * Limits:  a screen code or a Munsell notation says nothing about other lights; there the colour
 *          that looks alike is taken (`labUnder`), and a note says so
 */
export function aimFrom(text: string, viewing: Viewing): Aim {
  const written = text.trim();
  const lab = labFrom(written);
  if (lab !== undefined) return { lab, written, notes: [] };
  const notes: string[] = [];
  const house = /^#/.test(written) ? labFromHex(written) : munsellLab(written, notes);
  if (viewing.light !== HOUSE.light || viewing.observer !== HOUSE.observer) {
    notes.push(
      `${written} is a colour in daylight; under ${viewing.light} and ${viewing.observer} degrees the one that looks alike is aimed at.`,
    );
  }
  return { lab: labUnder(house, HOUSE, viewing), written, notes };
}

function labFrom(text: string): Lab | undefined {
  // With semicolons or spaces between, a comma is a decimal sign.
  const tight = text.replace(/\s*,\s+/g, ',');
  const parts = /[;\s]/.test(tight)
    ? tight.split(/\s*;\s*|\s+/).map((part) => part.replace(',', '.'))
    : tight.split(',');
  if (parts.length !== 3) return undefined;
  const numbers = parts.map((p) => (/^[+-]?(?:\d+\.?\d*|\.\d+)$/.test(p) ? Number(p) : Number.NaN));
  if (numbers.some(Number.isNaN)) return undefined;
  const out = numbers.findIndex((v, i) => v < RANGES[i][0] || v > RANGES[i][1]);
  if (out >= 0) {
    throw unreadableAim(
      `The aim's ${'Lab'[out]} is ${numbers[out]}; it lies between ${RANGES[out][0]} and ${RANGES[out][1]}.`,
    );
  }
  const [l, a, b] = numbers;
  return [l, a, b];
}

function munsellLab(text: string, notes: string[]): Lab {
  let told: ReturnType<typeof labFromMunsell>;
  try {
    told = labFromMunsell(parseMunsell(text));
  } catch (fault) {
    if (!(fault instanceof AppError)) throw fault;
    throw unreadableAim(`"${text.slice(0, 40)}" is no colour that can be aimed at.`);
  }
  if (told.held) return told.lab;
  const nearest = formatMunsell(told.nearest);
  notes.push(`${text} is further out than the Munsell tables go; ${nearest} is aimed at.`);
  return told.nearestLab;
}

function unreadableAim(detail: string): AppError {
  return new AppError({
    code: 'aim-unreadable',
    kind: 'bad-input',
    detail,
    hint: 'Give L,a,b like 60,-20,20, a screen colour like #8a9b6c, or Munsell like "5GY 6/4".',
  });
}
