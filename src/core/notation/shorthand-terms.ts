import { type Rational, rational } from '../numeric/rational.ts';
import { type AmountRead, amountAt } from './amount.ts';
import type { ShorthandWord, Vocabulary } from './shorthand-vocabulary.ts';
import { RECIPE_LIMITS } from './terms.ts';

/** A part of a line that cannot be read. */
export interface ShorthandError {
  /** Place in the line, 1 is the first character (UTF-16 units). */
  readonly column: number;
  readonly length: number;
  /** What is there, at most MOST_QUOTED letters of it. */
  readonly found: string;
  /** What is wrong and what to do. */
  readonly message: string;
  /** The known word most like the one found. */
  readonly nearest?: string;
  /** An amount such as "a pinch": a number is asked for. */
  readonly pinch?: true;
  /** An unknown word for a clay, as the user writes it; no longer than a name can be. */
  readonly unknown?: string;
  /** The word means several clays: words that mean one of them each. */
  readonly choices?: readonly string[];
}

/** One word with its amount. */
export interface ReadTerm {
  readonly word: ShorthandWord;
  /** Absent where none was written. */
  readonly amount?: AmountRead;
  readonly unit?: 'weight' | 'volume';
  readonly column: number;
  readonly length: number;
}

export interface TermsRead {
  readonly terms: readonly ReadTerm[];
  readonly errors: readonly ShorthandError[];
}

/** Errors are many in notes that are no notes, and each names what it found. */
const MOST_QUOTED = 80;

const GAP = /(?:[\s,;+&|·]|and(?=\s))+/uy;
// Units are lower case: a capital G is a short name.
const JOINER =
  /[ \t]*(?:(?:(?<unit>grams?|gr|g|ml|cm3|cm³|cc)|[xX]|[pP]arts?)(?!\p{L})|[×*])(?:[ \t]+of(?=\s))?[ \t]*/uy;
const WEIGHED = /^g/;
const TIMES_OR_SPACE = /[ \t]*[×*xX]?[ \t]*/y;
const UNKNOWN = /[^\s,;+&|#]+/uy;
const QUOTED = /"((?:[^"]|"")*)"/y;

/**
 * Amounts and words between two places of a line. Amounts come before the words, or after every one of
 * them (`G 3 Y 1`) where only that reads without an error.
 * Holds: never throws; gives every error between the two places, each with its column
 */
export function termsBetween(line: string, from: number, to: number, words: Vocabulary): TermsRead {
  const stretch = line.slice(0, to);
  const before = amountsFirst(stretch, from, words);
  const behind = before.errors.length === 0 ? undefined : wordsFirst(stretch, from, words);
  const read = behind ?? before;
  const unclear = read.terms.flatMap((term) => unclearError(stretch, term, words) ?? []);
  return unclear.length === 0 ? read : { ...read, errors: [...read.errors, ...unclear] };
}

/** Asks which clay is meant by a word of several. */
function unclearError(
  line: string,
  { word, column, length }: ReadTerm,
  words: Vocabulary,
): ShorthandError | undefined {
  if (word.mayMean === undefined) return undefined;
  // The word ends the term or, after its amount, begins it.
  const term = line.slice(column - 1, column - 1 + length);
  const found = /\p{L}.*/su.exec(term)?.[0] ?? term;
  const choices = word.mayMean.flatMap((clay) => {
    const one = words.wordFor(clay);
    return one === undefined || words.whole(one)?.mayMean !== undefined ? [] : [one];
  });
  const says =
    choices.length > 1
      ? `may mean ${choices.join(' or ')}. Write the one you mean.`
      : `is the name of ${word.mayMean.length} things in the book. Give one of them a code or another name.`;
  const at = column + term.indexOf(found);
  return { column: at, length: found.length, found, message: `${found} ${says}`, choices };
}

function amountsFirst(line: string, from: number, words: Vocabulary): TermsRead {
  const terms: ReadTerm[] = [];
  const errors: ShorthandError[] = [];
  /** Unknown words side by side are one unknown name. */
  let unknownFrom: number | undefined;
  let at = skip(GAP, line, from);
  const error = (start: number, end: number, message: string, more: Partial<ShorthandError> = {}) =>
    errors.push({ ...errorAt(line, start, end, message), ...more });
  const closeUnknown = (end: number) => {
    if (unknownFrom === undefined) return;
    const found = line.slice(unknownFrom, end);
    const nearest = words.nearest(found);
    const isName = found.length <= RECIPE_LIMITS.nameCharacters;
    const hint =
      nearest === undefined
        ? 'Add the clay first, or a short name for it.'
        : `Did you mean ${nearest}?`;
    error(unknownFrom, end, `"${firstLetters(found)}" is not known. ${hint}`, {
      ...(isName ? { unknown: found } : {}),
      ...(nearest === undefined ? {} : { nearest }),
    });
    unknownFrom = undefined;
  };
  let lastEnd = at;
  while (at < line.length) {
    const start = at;
    // A short name may start with a dash; nothing else that is known starts like an amount.
    const dashed = /^[-\u2212\u2013]/.test(line[at]) && wordAt(line, at, words) !== undefined;
    const amount = dashed ? undefined : amountAt(line, at);
    if (amount !== undefined) closeUnknown(lastEnd);
    if (amount?.problem !== undefined) {
      const { says, hint } = amount.problem;
      error(at, at + amount.length, `${line.slice(at, at + amount.length)} ${says}. ${hint}`);
    }
    at += amount?.length ?? 0;
    const joined = amount === undefined ? { at } : joinerAt(line, at, words);
    if (joined.twoWays !== undefined) {
      error(
        start,
        joined.at,
        `"${joined.twoWays}" is one of your words and a unit. Put a comma after your word, or leave the unit out and write "by weight".`,
      );
    }
    at = joined.at;
    const word = wordAt(line, at, words);
    if (word !== undefined) {
      closeUnknown(lastEnd);
      at += word.length;
      terms.push({
        word,
        column: start + 1,
        length: at - start,
        ...(amount === undefined ? {} : { amount }),
        ...(joined.unit === undefined ? {} : { unit: joined.unit }),
      });
    } else if (
      amount !== undefined &&
      (at >= line.length || amountAt(line, at) !== undefined || /[\s,;+&|]/u.test(line[at]))
    ) {
      error(
        start,
        start + amount.length,
        `No clay follows ${line.slice(start, start + amount.length)}. Write its name after the amount.`,
      );
    } else {
      const quoted = line[at] === '"';
      const end =
        quoted && skip(QUOTED, line, at) === at
          ? line.length
          : skip(quoted ? QUOTED : UNKNOWN, line, at);
      unknownFrom ??= at;
      at = Math.max(end, at + 1);
    }
    lastEnd = at;
    const next = skip(GAP, line, at);
    // A comma or a plus ends a name, white space does not.
    if (/\S/u.test(line.slice(at, next))) closeUnknown(at);
    at = next;
  }
  closeUnknown(lastEnd);
  return { terms, errors };
}

/** Whether an amount followed by a known word starts at a place. */
export function termStartsAt(line: string, at: number, end: number, words: Vocabulary): boolean {
  const stretch = line.slice(0, end);
  const amount = amountAt(stretch, at);
  if (amount === undefined) return false;
  const joined = joinerAt(stretch, at + amount.length, words);
  return wordAt(stretch, joined.at, words) !== undefined;
}

/** Every word with its amount after it, or undefined where the line is not written that way. */
function wordsFirst(line: string, from: number, words: Vocabulary): TermsRead | undefined {
  const terms: ReadTerm[] = [];
  let at = skip(GAP, line, from);
  while (at < line.length) {
    const start = at;
    const word = wordAt(line, at, words, true);
    if (word === undefined) return undefined;
    at = skip(TIMES_OR_SPACE, line, at + word.length);
    const amount = amountAt(line, at);
    if (amount === undefined || amount.problem !== undefined) return undefined;
    at += amount.length;
    terms.push({ word, amount, column: start + 1, length: at - start });
    at = skip(GAP, line, at);
  }
  return terms.length === 0 ? undefined : { terms, errors: [] };
}

/** What may come between amount and word: x, parts of, g, ml. A short name of that spelling wins. */
function joinerAt(
  line: string,
  at: number,
  words: Vocabulary,
): { readonly at: number; readonly unit?: 'weight' | 'volume'; readonly twoWays?: string } {
  const spaced = skip(/[ \t]*/y, line, at);
  JOINER.lastIndex = at;
  const found = JOINER.exec(line);
  if (found === null) {
    // 3xG: an x right before its word, where no word begins with that x.
    const close = /x/i.test(line[spaced] ?? '') && wordAt(line, spaced, words) === undefined;
    return close && wordAt(line, spaced + 1, words) !== undefined
      ? { at: spaced + 1 }
      : { at: spaced };
  }
  const behind = at + found[0].length;
  const follows = behind < line.length && wordAt(line, behind, words) !== undefined;
  const shortName = words.match(line, spaced);
  const itself = found[0].trim();
  if (shortName !== undefined && shortName.length >= itself.length) {
    const stops =
      /^\s/.test(line.slice(spaced + shortName.length)) && shortName.length === itself.length;
    return follows && stops ? { at: behind, twoWays: itself } : { at: spaced };
  }
  const unit = found.groups?.unit;
  if (unit === undefined) return { at: behind };
  if (!follows && behind >= line.length) return { at: spaced };
  return { at: behind, unit: WEIGHED.test(unit) ? 'weight' : 'volume' };
}

function wordAt(line: string, at: number, words: Vocabulary, digitsMayFollow = false) {
  if (line[at] !== '"') return words.match(line, at, digitsMayFollow);
  QUOTED.lastIndex = at;
  const quoted = QUOTED.exec(line);
  const word = quoted === null ? undefined : words.whole(quoted[1].replaceAll('""', '"'));
  return quoted === null || word === undefined ? undefined : { ...word, length: quoted[0].length };
}

function skip(pattern: RegExp, line: string, at: number): number {
  pattern.lastIndex = at;
  return at + (pattern.exec(line)?.[0].length ?? 0);
}

/** One part, for a word without an amount. */
export const ONE: Rational = rational(1n);

/** So much of an error that one sentence can name it. */
export function firstLetters(found: string): string {
  return found.length <= MOST_QUOTED ? found : `${found.slice(0, MOST_QUOTED)}…`;
}

/** An error between two places of a line. */
export function errorAt(line: string, from: number, to: number, message: string): ShorthandError {
  const found = firstLetters(line.slice(from, to).trim());
  return { column: from + 1, length: to - from, found, message };
}
