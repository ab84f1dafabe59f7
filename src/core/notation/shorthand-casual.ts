import type { Vocabulary } from './shorthand-vocabulary.ts';

/** A letter of the user's notes and what the notes say it stands for. */
export interface LetterMeant {
  readonly letters: string;
  readonly means: string;
}

const WORD_AMOUNTS: Readonly<Record<string, string>> = {
  half: '½',
  'half a': '½',
  'a half': '½',
  quarter: '¼',
  'a quarter': '¼',
  third: '⅓',
  'a third': '⅓',
  one: '1',
  two: '2',
  three: '3',
  four: '4',
  five: '5',
  six: '6',
};
const WORDS = Object.keys(WORD_AMOUNTS).toSorted((one, other) => other.length - one.length);
/** A word for an amount right before another word: "half W", "a quarter of B". */
const AMOUNT_WORD = new RegExp(
  `(?<=^|[\\s,;+&|:=])(?:${WORDS.join('|')})(?:[ \\t]+(?:part|of)s?(?:[ \\t]+of)?)*(?=[ \\t]+\\p{L})`,
  'giu',
);
/** "2x" with its word before it or far behind. */
const TIMES_BEHIND = /(?<=\p{N})[ \t]?[x×](?=[\s,;+&|]|$)/giu;
/** A colon between two parts, spaced alike on both sides: "3P : 1W", "3P:1W". */
const RATIO = /(?<=[^\s:])( ?):(?=\1[\p{N}.,])/gu;
/** An amount and its word, as one side of a ratio. */
const ONE_SIDE = /^\s*\p{N}[\p{N}.,/⁄ \t]*[x×]?[ \t]*\p{L}[\p{L}\p{M} ]*$/u;

/**
 * A line of notes with amounts as people write them, turned into plain ones at the same places.
 * Shape:   "half W, 3P : 1B 2x" -> "½    W, 3P , 1B 2 "; text in `masked` that is quoted stays as it is
 * Holds:   the length stays, so that columns of errors fit the line as it was written
 */
export function plainAmounts(
  raw: string,
  masked: string,
  noteAt: number,
  words: Vocabulary,
): string {
  const line = raw.slice(0, noteAt);
  const quoted = (at: number) => masked[at] === '"';
  let plain = line.replace(AMOUNT_WORD, (found, at: number) => {
    const known = words.match(line, at);
    // "Half moon" may be a clay.
    if (quoted(at) || (known !== undefined && known.length > found.length)) return found;
    const key = found.toLowerCase().replace(/[ \t]+(?:parts?|of)\b.*$/u, '');
    return (WORD_AMOUNTS[key] ?? found).padEnd(found.length);
  });
  plain = plain.replace(TIMES_BEHIND, (found, at: number) =>
    quoted(at) || words.match(plain, at + found.length - 1) !== undefined
      ? found
      : ' '.repeat(found.length),
  );
  // The first colon may end a code or a name: "Dusk: 3P : 1W".
  const [first, ...sides] = plain.split(':');
  const headed = !ONE_SIDE.test(first);
  if (sides.length > (headed ? 1 : 0) && sides.every((side) => ONE_SIDE.test(side))) {
    const from = headed ? first.length + 1 : 0;
    plain = plain.slice(0, from) + plain.slice(from).replace(RATIO, '$1,');
  }
  return plain + raw.slice(noteAt);
}

/** Tags may have any sign in them. */
const TAG = /#(?:"+|[^\s,;#"]*)/gu;
const UNSURE = /(?<=^|[\s\p{N},;])\?+/u;
const PINCH =
  /(?<=^|[\s,;+&|:=])(?:a |the )?(?:tiny |wee |little )?(?:pinch|touch|bit|dab|dash|smidge|smidgen|speck|trace|hint|crumb)(?:es|s)?(?: of)?(?=\s|$)/iu;

/** What makes a line doubtful: no recipe is saved from such a line before somebody looked at it. */
export interface Doubt {
  readonly at: number;
  readonly length: number;
  readonly message: string;
  /** The amount is a word that is no number: an amount is asked for. */
  readonly pinch?: true;
}

/** The first doubt in a line: a question mark, or an amount nobody can weigh. */
export function doubtIn(masked: string, noteAt: number, words: Vocabulary): Doubt | undefined {
  const line = masked.slice(0, noteAt).replace(TAG, (tag) => ' '.repeat(tag.length));
  const unsure = UNSURE.exec(line);
  if (unsure !== null) {
    return {
      at: unsure.index,
      length: unsure[0].length,
      message: 'A question mark: write what is meant, or put the line after // as a note.',
    };
  }
  const pinch = PINCH.exec(line);
  if (pinch === null) return undefined;
  const known = words.match(line, pinch.index);
  if (known !== undefined && known.length >= pinch[0].length) return undefined;
  return {
    at: pinch.index,
    length: pinch[0].length,
    message: `How much is “${pinch[0].trim()}”? Type an amount, such as 0.1.`,
    pinch: true,
  };
}

const LETTERS =
  /^(?<letters>\p{L}[\p{L}\p{M}.]{0,2})(?:\s*(?:=|:|-|–|→|\bis\b|\bfor\b)\s*|\s+)(?<means>\p{L}[\p{L}\p{M} '’-]*)$/u;

/**
 * The letters that a line explains: "W white, B black" or "W = white".
 * Shape:   the part of a line before its note -> each letter and what it means; undefined where the line
 *          is a recipe. One letter alone needs a mark: "G Kelp" may be a recipe of two clays
 * Refuses: a line with a digit in it, as a recipe has amounts
 */
export function lettersMeant(line: string, words: Vocabulary): readonly LetterMeant[] | undefined {
  if (/[\p{N}"#]/u.test(line)) return undefined;
  const items = line
    .split(/[,;\t]/u)
    .map((item) => item.trim())
    .filter(Boolean);
  const found = items.flatMap((item): LetterMeant[] => {
    const groups = LETTERS.exec(item)?.groups;
    return groups === undefined ? [] : [{ letters: groups.letters, means: groups.means.trim() }];
  });
  if (found.length === 0 || found.length !== items.length) return undefined;
  if (items.length === 1 && !/[=:→–-]|\sis\s|\sfor\s/u.test(items[0])) return undefined;
  // Where every letter is known and so is every word, the line lists clays; unless each letter and its
  // word are one clay, as in a list whose letters were understood before.
  const clayOf = (text: string) => words.whole(text)?.clay;
  const isKnown = found.every(({ letters, means }) => clayOf(letters) && clayOf(means));
  const isSame = found.every(({ letters, means }) => clayOf(letters) === clayOf(means));
  return isKnown && !isSame ? undefined : found;
}
