/** Units after an amount. "5 g Kelp" must not become a clay "g Kelp". */
export const UNIT = /(?:mg|gr?|grams?|kg|oz|ml|cm|mm|pcs?|pieces?|drops?)(?=\s+[^\s+)])/iy;

/** Other marks between clays. "5 Kelp, 2 Foam" must not become five parts of a clay "Kelp, 2 Foam". */
export const OTHER_JOIN = /[,;:&|]\s*\d|\sand\s+\d/i;

/**
 * Invisible characters that change how the text beside them reads, as the inside of a
 * character class: marks for the direction of writing, separators of lines, spaces without width, soft
 * hyphens, fillers, notes between lines, tags. Joiners (U+200C and U+200D) are letters of some languages and
 * stay.
 * Source: Unicode Standard Annex 9 (bidirectional formatting); Unicode Technical Report 36, section 2.10
 */
export const INVISIBLE =
  '\\u00ad\\u061c\\u115f\\u1160\\u180e\\u200b\\u200e\\u200f\\u2028-\\u202e\\u2060-\\u206f\\u3164\\ufeff\\uffa0\\ufff9-\\ufffb\\u{e0000}-\\u{e007f}';

/** Characters nobody types: those, control codes, broken surrogates, the sign of a wrong encoding. */
export const UNREADABLE = new RegExp(`[\\p{Cc}\\p{Cs}\\ufffd${INVISIBLE}]`, 'u');

export const UNREADABLE_ALL = new RegExp(UNREADABLE, 'gu');

const ALL_INVISIBLE = new RegExp(`[${INVISIBLE}]`, 'gu');

/** A text without its invisible characters. */
export function withoutInvisible(text: string): string {
  return text.replace(ALL_INVISIBLE, '');
}

/** A name in composed letters (NFC), without outer and doubled white space. */
export function tidyName(name: string): string {
  return name.normalize('NFC').trim().replace(/\s+/gu, ' ');
}

/**
 * What makes two names the same clay: composed letters (NFC), single inner spaces, no case.
 * Holds:   clayKey(clayKey(x)) = clayKey(x)
 * Source:  Unicode Standard section 3.13, default case folding, here by lower, upper, lower case
 *          ("ß" = "ss"); dotless i is taken as i, which the standard tells apart
 */
export function clayKey(name: string): string {
  return tidyName(tidyName(name).toLowerCase().toUpperCase().toLowerCase());
}

/** A name as a recipe writes it: in double quotes where it would be read as something else. */
export function writtenName(name: string): string {
  const plain = tidyName(name);
  const safe =
    /^\p{L}/u.test(plain) &&
    !/["+]|^(?:x[\s(]|parts?\s)/iu.test(plain) &&
    !startsWithUnit(plain) &&
    !OTHER_JOIN.test(plain) &&
    bracketsMatch(plain);
  return safe ? plain : `"${plain.replaceAll('"', '""')}"`;
}

function startsWithUnit(name: string): boolean {
  UNIT.lastIndex = 0;
  return UNIT.test(name);
}

function bracketsMatch(name: string): boolean {
  let depth = 0;
  for (const c of name) {
    if (c === '(') depth++;
    if (c === ')' && --depth < 0) return false;
  }
  return depth === 0;
}
