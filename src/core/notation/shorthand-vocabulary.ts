import { clayKey } from './clay-name.ts';
import { type CodeIndex, codeIndex } from './codes.ts';
import { nearestNames } from './nearest-name.ts';

/** A word of her shorthand and the block, mix or powder it stands for. */
export interface ShorthandWord {
  readonly word: string;
  /** Id of what it stands for. */
  readonly clay: string;
  /** Powders go by weight share. */
  readonly powder?: boolean;
}

export interface VocabularyWords {
  /** Her own short short names, such as G. */
  readonly shortNames: readonly ShorthandWord[];
  /** Full names, which serve as well. */
  readonly names?: readonly ShorthandWord[];
  /** Codes of the mixes in the book: words too, and not free for a new mix. */
  readonly codes?: readonly ShorthandWord[];
  /** Codes of mixes that are just being written: words, but free. */
  readonly newCodes?: readonly ShorthandWord[];
}

export interface WordMatch extends ShorthandWord {
  /** Characters of the line it takes. */
  readonly length: number;
}

/** The words of one book, made ready once for many lines. */
export interface Vocabulary {
  /** The longest word that stands at a place; a case that fits no word is passed over. */
  match(line: string, at: number, digitsMayFollow?: boolean): WordMatch | undefined;
  /** A whole word, as it stands in quotes. */
  whole(text: string): ShorthandWord | undefined;
  /** The known word most like one that is not. */
  nearest(word: string): string | undefined;
  /** How a clay is written: its sign, else its code, else its name. */
  wordFor(clay: string): string | undefined;
  readonly taken: CodeIndex;
  /** Signs that cannot be used, each with the reason. */
  readonly refused: readonly { readonly sign: string; readonly says: string }[];
}

const LONGEST_SIGN = 20;
const LETTER = /[\p{L}\p{M}]/u;
const DIGIT = /\p{N}/u;

/** Why a sign cannot be used, or undefined where it can. */
export function signTrouble(sign: string): string | undefined {
  if (sign === '' || /\s/u.test(sign)) return 'A sign has no white space in it.';
  if (sign.length > LONGEST_SIGN) return `A sign has at most ${LONGEST_SIGN} characters.`;
  if (/^[\p{N}.,;+&|#=%/×*[]/u.test(sign))
    return 'A sign starts with a letter or a mark of its own.';
  if (/["#:=]|\/\/|[\p{Cc}\p{Cs}]/u.test(sign)) return 'A sign holds none of " # : = and no //.';
  return undefined;
}

/**
 * Holds: words are found as they are spelt; where none is, without regard to case if one word alone
 *        fits. A sign wins over a code, a code over a name of the same spelling
 */
export function vocabularyOf(words: VocabularyWords): Vocabulary {
  const { shortNames, names = [], codes = [], newCodes = [] } = words;
  const refused: { sign: string; says: string }[] = [];
  const exact = new Map<string, ShorthandWord>();
  /** Undefined where two words of different clays fall together. */
  const folded = new Map<string, ShorthandWord | undefined>();
  const byClay = new Map<string, string>();
  /** Longest word by the first letter of its key. */
  const longestBy = new Map<string, number>();
  let longest = 0;
  const add = (entry: ShorthandWord) => {
    const { word, clay } = entry;
    if (word === '') return;
    longest = Math.max(longest, word.length);
    if (!exact.has(word)) exact.set(word, entry);
    const key = clayKey(word);
    longestBy.set(key[0], Math.max(longestBy.get(key[0]) ?? 0, word.length));
    const known = folded.get(key);
    if (!folded.has(key)) folded.set(key, entry);
    else if (known !== undefined && known.clay !== clay) folded.set(key, undefined);
    if (!byClay.has(clay)) byClay.set(clay, word);
  };
  for (const entry of shortNames) {
    const trouble =
      signTrouble(entry.word) ??
      (exact.has(entry.word) ? 'This sign stands for something else already.' : undefined);
    if (trouble === undefined) add(entry);
    else refused.push({ sign: entry.word, says: trouble });
  }
  for (const entry of codes) add(entry);
  for (const entry of newCodes) add(entry);
  for (const entry of names) add(entry);

  const whole = (text: string) => exact.get(text) ?? folded.get(clayKey(text));
  const spoken = [...shortNames, ...names].map(({ word }) => bagOf(word));
  const taken = codeIndex(codes.map(({ word }) => word));
  const coming = codeIndex(newCodes.map(({ word }) => word));
  const likest = new Map<string, string | undefined>();
  return {
    whole,
    match(line, at, digitsMayFollow = false) {
      // Folding may change a length by a letter or two ("ß"); white space may be doubled.
      const marked = /\p{M}/u.test(line[at + 1] ?? '');
      const most = marked ? longest : longestBy.get(clayKey(line[at] ?? '')[0]);
      if (most === undefined) return undefined;
      for (let end = Math.min(line.length, at + most + 2); end > at; end--) {
        if (!endsWord(line, end, digitsMayFollow)) continue;
        const text = line.slice(at, end);
        if (text.trimEnd() !== text) continue;
        const found = whole(text);
        if (found !== undefined) return { ...found, length: end - at };
      }
      return undefined;
    },
    nearest(word) {
      if (!likest.has(word)) {
        const bag = bagOf(word);
        const near = spoken.filter((other) => mayBeNear(bag, other)).map((other) => other.word);
        likest.set(word, taken.alike(word) ?? coming.alike(word) ?? nearestNames(word, near)[0]);
      }
      return likest.get(word);
    },
    wordFor: (clay) => byClay.get(clay),
    taken,
    refused,
  };
}

/** 3G1Y: a number may follow a letter where a word stands right after that number. */
const GLUED_AMOUNT = /[\p{N}.,/]*\p{N}%?[^\s\p{N},;+&|#]/uy;

function endsWord(line: string, end: number, digitsMayFollow: boolean): boolean {
  const next = line[end];
  if (next === undefined) return true;
  const last = line[end - 1];
  if (LETTER.test(next)) return !LETTER.test(last) && !DIGIT.test(last);
  if (!DIGIT.test(next)) return true;
  if (DIGIT.test(last)) return false;
  if (digitsMayFollow || !LETTER.test(last)) return true;
  GLUED_AMOUNT.lastIndex = end;
  return GLUED_AMOUNT.test(line);
}

/** How often each letter stands in a word; letters of one remainder by 32 count as one. */
interface Bag {
  readonly word: string;
  readonly key: string;
  readonly counts: Uint8Array;
}

function bagOf(word: string): Bag {
  const key = clayKey(word);
  const counts = new Uint8Array(32);
  for (let i = 0; i < key.length; i++) counts[key.charCodeAt(i) & 31]++;
  return { word, key, counts };
}

/**
 * Whether `nearestNames` could offer a word: every letter that must be put in or taken out shows in the
 * counts, so most of a long list is passed over without comparing letter by letter.
 */
function mayBeNear(wanted: Bag, known: Bag): boolean {
  let [more, less] = [0, 0];
  for (let i = 0; i < 32; i++) {
    const apart = wanted.counts[i] - known.counts[i];
    if (apart > 0) more += apart;
    else less -= apart;
  }
  const { length } = known.key;
  if (Math.max(more, less) <= Math.max(2, length / 3)) return true;
  return wanted.key.length > 2 && (more === 0 || less === 0) && holds(wanted.key, known.key);
}

function holds(one: string, other: string): boolean {
  return one.includes(other) || other.includes(one);
}
