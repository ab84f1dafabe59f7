import { AppError } from '../errors.ts';

/** A colour of the Munsell system. Hue, value and chroma as in ASTM D1535. */
export interface MunsellColour {
  /** 0 up to but not 100: 5R is 5, 10R is 10, 5YR is 15 … 10RP is 0. None for a neutral. */
  readonly hue: number | null;
  /** 0-10. */
  readonly value: number;
  /** 0 up; 0 for a neutral. */
  readonly chroma: number;
}

const FAMILIES = ['R', 'YR', 'Y', 'GY', 'G', 'BG', 'B', 'PB', 'P', 'RP'];
const CHROMATIC =
  /^(\d+(?:\.\d+)?)\s*(YR|GY|BG|PB|RP|R|Y|G|B|P)\s*(\d+(?:\.\d+)?)\s*\/\s*(\d+(?:\.\d+)?)$/;
const NEUTRAL = /^N\s*(\d+(?:\.\d+)?)\s*(?:\/\s*0?)?$/;

/**
 * Reads '5R 4/14', '2.5 pb 5.5 / 6', 'N 5/', 'N5'.
 * Refuses: anything else; hue over 10, value over 10 -> bad-munsell (bad-input)
 * Holds:   chroma 0 is a neutral, whatever hue is written
 * Source:  [D1535] section 5, notation
 */
export function parseMunsell(notation: string): MunsellColour {
  const text = notation.trim().toUpperCase();
  const neutral = NEUTRAL.exec(text);
  if (neutral !== null && Number(neutral[1]) <= 10) {
    return { hue: null, value: Number(neutral[1]), chroma: 0 };
  }
  const parts = CHROMATIC.exec(text);
  if (parts === null || Number(parts[1]) > 10 || Number(parts[3]) > 10) {
    throw new AppError({
      code: 'bad-munsell',
      kind: 'bad-input',
      detail: `"${notation.slice(0, 40)}" is not a Munsell notation.`,
      hint: 'Write hue, value and chroma like 5R 4/14, or a grey like N 5/.',
    });
  }
  const [step, value, chroma] = [parts[1], parts[3], parts[4]].map(Number);
  if (chroma === 0) return { hue: null, value, chroma };
  return { hue: (FAMILIES.indexOf(parts[2]) * 10 + step) % 100, value, chroma };
}

/**
 * Writes '5R 4/14' or '3.9B 8.1/6.6', each number to one decimal at most.
 * Holds:   what rounds to chroma 0 is written as a neutral: 'N 5/'
 * Source:  [D1535] section 5, notation
 */
export function formatMunsell(colour: MunsellColour): string {
  const value = tenths(colour.value);
  const chroma = tenths(colour.chroma);
  if (colour.hue === null || chroma === 0) return `N ${value}/`;
  // A family ends at its 10, and never at the next one's 0: 10R, never 0YR.
  const hue = tenths(colour.hue) % 100 || 100;
  const family = Math.ceil(hue / 10) - 1;
  return `${tenths(hue - 10 * family)}${FAMILIES[family]} ${value}/${chroma}`;
}

function tenths(v: number): number {
  return Math.round(v * 10) / 10;
}
