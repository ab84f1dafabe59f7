import { clayKey } from './clay-name.ts';
import { type CodeIndex, codeIndex } from './codes.ts';
import { nearestNames } from './nearest-name.ts';

/** A word in notes and the clay, mix or powder it names. */
export interface ShorthandWord {
  readonly word: string;
  /** Id of the clay, mix or powder. */
  readonly clay: string;
  /** Powders count by share of weight. */
  readonly powder?: boolean;
  /** In an answer: the word means several clays, and these are all of them. */
  readonly mayMean?: readonly string[];
}

export interface VocabularyWords {
  /** The user's short names, such as G. */
  readonly shortNames: readonly ShorthandWord[];
  /** Full names work too. */
  readonly names?: readonly ShorthandWord[];
  /** Codes of the mixes in the book: words too, and not free for a new mix. */
  readonly codes?: readonly ShorthandWord[];
  /** Codes of mixes that are being typed now: words, but still free. */
  readonly newCodes?: readonly ShorthandWord[];
}

export interface WordMatch extends ShorthandWord {
  /** Characters of the line it takes. */
  readonly length: number;
}

/** The words of one book, prepared once for many lines. */
export interface Vocabulary {
  /**
   * The longest word at a place; upper and lower case may differ where one word alone fits.
   * Time: the line is followed run by run only while some word begins so, at most 40 runs, so a line takes
   *       time in proportion to its length, however many and however long the words are
   */
  match(line: string, at: number, digitsMayFollow?: boolean): WordMatch | undefined;
  /** A whole word, as given in quotes. */
  whole(text: string): ShorthandWord | undefined;
  /** The known word most like an unknown one. */
  nearest(word: string): string | undefined;
  /** How a clay is written: its short name, else its code, else its name. */
  wordFor(clay: string): string | undefined;
  readonly taken: CodeIndex;
  /** Short names that cannot be used, each with the reason. */
  readonly refused: readonly { readonly shortName: string; readonly reason: string }[];
}

const LONGEST_SHORT_NAME = 20;
const LETTER = /[\p{L}\p{M}]/u;
const DIGIT = /\p{N}/u;

/** Why a short name cannot be used, or undefined where it can. */
export function shortNameProblem(shortName: string): string | undefined {
  if (shortName === '' || /\s/u.test(shortName)) return 'A short name has no spaces in it.';
  if (shortName.length > LONGEST_SHORT_NAME)
    return `A short name has at most ${LONGEST_SHORT_NAME} characters.`;
  if (/^[\p{N}.,;+&|#=%/×*[]/u.test(shortName)) {
    return 'A short name cannot start with a digit or with one of . , ; + & | # = % / × * [';
  }
  if (/["#:=]|\/\/|[\p{Cc}\p{Cs}]/u.test(shortName)) {
    return 'A short name cannot have " # : = or // in it.';
  }
  return undefined;
}

/** Letters, digits, or one other character, each with the marks on it: words end only between two runs. */
const RUN = /[\p{L}\p{M}]+|\p{N}+|[^\p{L}\p{M}\p{N}]\p{M}*/uy;
/** A word of more runs than this is found in quotes alone. */
const MOST_RUNS = 40;

/** Keys of the beginnings of a word, at the end of each run; none where it has too many runs. */
function beginningsOf(word: string): readonly string[] {
  const keys: string[] = [];
  for (let at = 0; at < word.length; ) {
    at = endOfRun(word, at);
    keys.push(clayKey(word.slice(0, at)));
    if (keys.length > MOST_RUNS) return [];
  }
  return keys;
}

function endOfRun(text: string, at: number): number {
  RUN.lastIndex = at;
  return at + (RUN.exec(text)?.[0].length ?? 1);
}

/**
 * Holds: words are found as they are spelt; where none is, in any case if one word alone fits. A short
 *        name wins over a code, a code over a name of the same spelling; names of several clays are
 *        answered with all they may mean
 */
export function vocabularyOf(words: VocabularyWords): Vocabulary {
  const { shortNames, names = [], codes = [], newCodes = [] } = words;
  const refused: { shortName: string; reason: string }[] = [];
  const exact = new Map<string, readonly ShorthandWord[]>();
  const folded = new Map<string, readonly ShorthandWord[]>();
  const isName = new Set(names);
  /** A spelling belongs to the first kind of word that has it; names alone may share one. */
  const addTo = (map: Map<string, readonly ShorthandWord[]>, key: string, entry: ShorthandWord) => {
    const known = map.get(key) ?? [];
    if (known.every(({ clay }) => clay !== entry.clay)) map.set(key, [...known, entry]);
  };
  const meant = (found: readonly ShorthandWord[] | undefined, winsFirst: boolean) => {
    const [first, ...others] = found ?? [];
    if (others.length === 0) return first;
    if (!isName.has(first)) return winsFirst ? first : undefined;
    return { ...first, mayMean: [first, ...others].map(({ clay }) => clay) };
  };
  const byClay = new Map<string, readonly string[]>();
  /** Longest word by the first letter of its key. */
  const longestBy = new Map<string, number>();
  let longest = 0;
  const beginnings = new Set<string>();
  const add = (entry: ShorthandWord) => {
    const { word, clay } = entry;
    if (word === '') return;
    longest = Math.max(longest, word.length);
    addTo(exact, word, entry);
    const key = clayKey(word);
    longestBy.set(key[0], Math.max(longestBy.get(key[0]) ?? 0, word.length));
    addTo(folded, key, entry);
    for (const beginning of beginningsOf(word)) beginnings.add(beginning);
    byClay.set(clay, [...(byClay.get(clay) ?? []), word]);
  };
  for (const entry of shortNames) {
    const reason =
      shortNameProblem(entry.word) ??
      (exact.has(entry.word) ? 'This short name is already used for something else.' : undefined);
    if (reason === undefined) add(entry);
    else refused.push({ shortName: entry.word, reason });
  }
  for (const entry of codes) add(entry);
  for (const entry of newCodes) add(entry);
  for (const entry of names) add(entry);

  const whole = (text: string) =>
    meant(exact.get(text), true) ?? meant(folded.get(clayKey(text)), false);
  const wordFor = (clay: string) => {
    const all = byClay.get(clay) ?? [];
    const isOwn = (word: string) =>
      !isName.has(exact.get(word)![0]) || folded.get(clayKey(word))!.length === 1;
    return all.find(isOwn) ?? all.find((word) => whole(word)?.mayMean === undefined) ?? all[0];
  };
  const offered = [...shortNames, ...names].map(({ word }) => bagOf(word));
  const taken = codeIndex(codes.map(({ word }) => word));
  const coming = codeIndex(newCodes.map(({ word }) => word));
  const likest = new Map<string, string | undefined>();
  return {
    whole,
    match(line, at, digitsMayFollow = false) {
      // Case folding may change a length by a letter or two ("ß"); white space may be doubled.
      const marked = /\p{M}/u.test(line[at + 1] ?? '');
      const most = marked ? longest : longestBy.get(clayKey(line[at] ?? '')[0]);
      if (most === undefined) return undefined;
      const last = Math.min(line.length, at + most + 2);
      let far = at;
      for (let next = at; next < last; ) {
        next = endOfRun(line, next);
        if (!beginnings.has(clayKey(line.slice(at, next)))) break;
        far = next;
      }
      for (let end = Math.min(far, last); end > at; end--) {
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
        const near = offered.filter((other) => mayBeNear(bag, other)).map((other) => other.word);
        likest.set(word, taken.alike(word) ?? coming.alike(word) ?? nearestNames(word, near)[0]);
      }
      return likest.get(word);
    },
    wordFor,
    taken,
    refused,
  };
}

/** 3G1Y: a number may follow a letter where a word comes right after that number. */
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

/** How often each letter is in a word; letters with the same remainder by 32 count as one. */
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
 * Whether `nearestNames` could offer a word: every letter to add or remove shows in the counts, so most of
 * a long list is skipped without comparing letter by letter.
 */
function mayBeNear(typed: Bag, known: Bag): boolean {
  let [more, less] = [0, 0];
  for (let i = 0; i < 32; i++) {
    const apart = typed.counts[i] - known.counts[i];
    if (apart > 0) more += apart;
    else less -= apart;
  }
  const { length } = known.key;
  if (Math.max(more, less) <= Math.max(2, length / 3)) return true;
  return typed.key.length > 2 && (more === 0 || less === 0) && holds(typed.key, known.key);
}

function holds(one: string, other: string): boolean {
  return one.includes(other) || other.includes(one);
}
