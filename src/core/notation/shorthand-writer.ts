import {
  gcd,
  type Rational,
  rational,
  rationalFromNumber,
  timesRational,
} from '../numeric/rational.ts';
import { writeHead } from './shorthand-head.ts';
import type { ShorthandMix } from './shorthand-line.ts';
import { termsBetween } from './shorthand-terms.ts';
import type { Vocabulary } from './shorthand-vocabulary.ts';

const HUNDRED = rational(100n);

export type ShorthandWritten =
  | { readonly status: 'written'; readonly line: string }
  /** Clays without a short name, code or name. */
  | { readonly status: 'no-word'; readonly clays: readonly string[] };

/**
 * A mix as one line of notes: parts with short names first, then powders, tags, basis and note.
 * Refuses: clays without a word, as a value
 * Holds:   reading the line with the same words gives the same mix; the volume basis is not written
 */
export function writeShorthand(mix: ShorthandMix, words: Vocabulary): ShorthandWritten {
  const missing = [
    ...mix.parts.map(({ clay }) => clay),
    ...mix.powders.map(({ powder }) => powder),
  ].filter((clay) => words.wordFor(clay) === undefined);
  if (missing.length > 0) return { status: 'no-word', clays: missing };
  const head = writeHead(mix);
  const pieces = [
    ...mix.parts.map(
      ({ clay, parts }) => `${plainDecimal(rationalFromNumber(parts))} ${safeWord(clay, words)}`,
    ),
    ...mix.powders.map(
      ({ powder, share }) =>
        `${plainDecimal(timesRational(rationalFromNumber(share), HUNDRED))}% ${safeWord(powder, words)}`,
    ),
    ...mix.tags.map((tag) => `#${writtenTag(tag)}`),
    ...(mix.basis === 'weight' ? ['by weight'] : []),
    ...(mix.note === undefined ? [] : [`// ${mix.note}`]),
  ];
  return { status: 'written', line: `${head}: ${pieces.join(' ')}`.replace(/^: /, '') };
}

/** A word for any line: in quotes where it would be read as something else. */
function safeWord(clay: string, words: Vocabulary): string {
  const word = words.wordFor(clay) ?? '';
  const line = `2% ${word} 3% ${word}`;
  const { terms, errors } = termsBetween(line, 0, line.length, words);
  const alone =
    !/[:="#]|\/\/|^by\s/i.test(word) &&
    errors.length === 0 &&
    terms.length === 2 &&
    terms.every((term) => term.word.clay === clay && term.amount?.percent === true);
  return alone ? word : `"${word.replaceAll('"', '""')}"`;
}

function writtenTag(tag: string): string {
  return /^[^\s,;#":=]+$/u.test(tag) ? tag : `"${tag.replaceAll('"', '""')}"`;
}

/** All its digits, without an exponent. */
function plainDecimal({ num, den }: Rational): string {
  let places = 0;
  let digits = num;
  let left = den;
  while (left > 1n) {
    const common = gcd(left, 10n);
    // A decimal has only twos and fives below the line.
    digits *= 10n / common;
    left /= common;
    places++;
  }
  const text = String(digits).padStart(places + 1, '0');
  return places === 0 ? text : `${text.slice(0, -places)}.${text.slice(-places)}`;
}
