import type { Basis, MixPart, MixPowder } from '../mixes/mix-graph.ts';
import { amountAt } from './amount.ts';
import { UNREADABLE } from './clay-name.ts';
import { doubtIn, type LetterMeant, lettersMeant, plainAmounts } from './shorthand-casual.ts';
import { readHead, type ShorthandHead, trimmed } from './shorthand-head.ts';
import { shorthandAmounts } from './shorthand-shares.ts';
import {
  errorAt,
  firstLetters,
  type ShorthandError,
  termStartsAt,
  termsBetween,
} from './shorthand-terms.ts';
import type { Vocabulary } from './shorthand-vocabulary.ts';
import { RECIPE_LIMITS } from './terms.ts';

/** A mix as one line of notes. */
export interface ShorthandMix extends ShorthandHead {
  readonly basis: Basis;
  readonly parts: readonly MixPart[];
  readonly powders: readonly MixPowder[];
  readonly tags: readonly string[];
  readonly note?: string;
}

export type ShorthandLine = { readonly raw: string } & (
  | { readonly kind: 'blank' }
  /** `letters` are explained by it: "W white, B black". */
  | {
      readonly kind: 'remark';
      readonly text: string;
      readonly letters?: readonly LetterMeant[];
    }
  /** `notes` name what was assumed. */
  | { readonly kind: 'mix'; readonly mix: ShorthandMix; readonly notes: readonly string[] }
  /** `head` is the code and name, where they could be read. */
  | {
      readonly kind: 'errors';
      readonly errors: readonly ShorthandError[];
      readonly head: ShorthandHead;
    }
);

const BROKEN = new RegExp(`(?!\\t)${UNREADABLE.source}`, 'u');

export const SHORTHAND_LIMITS = { characters: 2000, codeCharacters: 40, tags: 30 } as const;

interface Found {
  readonly head: ShorthandHead;
  readonly headAt: number;
  readonly from: number;
  readonly to: number;
}

/**
 * One line of notes: `K7 sea moss: 3G 1Y ½W 2%M #weeds by weight // pale`.
 * Before the colon a code (a first word with a digit, or anything in square brackets) and a name; then
 * amounts with short names, names or codes, with or without spaces, commas or pluses between them; no
 * amount is one part. Powders and tags (#) anywhere, a note after //. The colon may be left out where the
 * first amount shows where the parts begin; in rows of a spreadsheet, tabs separate code, name and parts.
 * Refuses: nothing by throwing: all errors come back at once, each with its place; `raw` is always the line
 * Holds:   readShorthandLine(writeShorthand(mix)) gives the mix
 */
export function readShorthandLine(
  raw: string,
  words: Vocabulary,
  options: { readonly basis?: Basis } = {},
): ShorthandLine {
  const stop = (at: number, length: number, message: string): ShorthandLine => ({
    raw,
    kind: 'errors',
    errors: [errorAt(raw, at, at + length, message)],
    head: {},
  });
  if (raw.length > SHORTHAND_LIMITS.characters) {
    const { characters } = SHORTHAND_LIMITS;
    return stop(
      characters,
      raw.length - characters,
      `A line has at most ${characters} characters.`,
    );
  }
  const broken = BROKEN.exec(raw.trimEnd());
  if (broken !== null)
    return stop(broken.index, 1, 'This character cannot be read. Type it again.');
  const { masked, noteAt, openQuoteAt } = scan(raw);
  if (openQuoteAt !== undefined) {
    return stop(openQuoteAt, raw.length - openQuoteAt, 'Close the quote.');
  }
  const errors: ShorthandError[] = [];
  const note = trimmed(raw.slice(noteAt + 2));
  if (raw.slice(0, noteAt).trim() === '') {
    return note === '' ? { raw, kind: 'blank' } : { raw, kind: 'remark', text: note };
  }
  const plain = plainAmounts(raw, masked, noteAt, words);
  // The same places, so that marks between parts that were only punctuation no longer count.
  const open = scan(plain).masked;
  const place = placeOf(plain, open, noteAt, words);
  const { head } = place;
  const doubt = doubtIn(open, noteAt, words);
  if (doubt !== undefined) {
    const { at, length, message, pinch } = doubt;
    errors.push({
      ...errorAt(raw, at, at + length, message),
      ...(pinch === undefined ? {} : { pinch }),
    });
    return { raw, kind: 'errors', errors, head };
  }
  const letters = lettersMeant(plain.slice(0, noteAt), words);
  if (letters !== undefined) return { raw, kind: 'remark', text: trimmed(raw), letters };
  const { body, tags, basis } = separateMarks(plain, open, place);
  checkHead(head, place.headAt, words, errors);
  if (tags.length > SHORTHAND_LIMITS.tags) {
    errors.push(
      errorAt(raw, place.from, place.to, `A mix has at most ${SHORTHAND_LIMITS.tags} tags.`),
    );
  }
  const read = termsBetween(body, place.from, place.to, words);
  errors.push(...read.errors);
  const notes: string[] = [];
  const amounts = shorthandAmounts(read.terms, notes, errors, raw);
  if (errors.length === 0 && amounts.parts.length === 0) {
    errors.push(
      errorAt(
        raw,
        place.from,
        noteAt,
        'There are no parts of clay. Write them after the colon, such as 3G 1Y.',
      ),
    );
  }
  if (errors.length > 0) {
    return { raw, kind: 'errors', errors: errors.sort((a, b) => a.column - b.column), head };
  }
  const mix: ShorthandMix = {
    ...head,
    basis: basis ?? amounts.basis ?? options.basis ?? 'volume',
    parts: amounts.parts,
    powders: amounts.powders,
    tags,
    ...(note === '' ? {} : { note }),
  };
  return { raw, kind: 'mix', mix, notes };
}

interface Scanned {
  /** The line with quoted text and a bracketed code blanked out, so that marks in them do not count. */
  readonly masked: string;
  /** Where the note starts, or the end. */
  readonly noteAt: number;
  /** An opening quote without a closing one. */
  readonly openQuoteAt?: number;
}

function scan(raw: string): Scanned {
  const bracketed = /^\s*\[(?:[^\]]|\]\])*\]/.exec(raw)?.[0].length ?? 0;
  let masked = '"'.repeat(bracketed);
  let at = bracketed;
  while (at < raw.length) {
    const ahead = /"|\/\//g;
    ahead.lastIndex = at;
    const mark = ahead.exec(raw);
    if (mark === null) break;
    masked += raw.slice(at, mark.index);
    at = mark.index;
    if (mark[0] === '//') {
      if (at === 0 || /\s/u.test(raw[at - 1]))
        return { masked: masked + raw.slice(at), noteAt: at };
      masked += '//';
      at += 2;
      continue;
    }
    const quoted = /^"(?:[^"]|"")*"/.exec(raw.slice(at))?.[0].length;
    if (quoted === undefined) return { masked, noteAt: raw.length, openQuoteAt: at };
    masked += '"'.repeat(quoted);
    at += quoted;
  }
  return { masked: masked + raw.slice(at), noteAt: raw.length };
}

/** Where the head ends and the parts begin. */
function placeOf(raw: string, masked: string, end: number, words: Vocabulary): Found {
  const colon = /[:=]/.exec(masked.slice(0, end))?.index;
  if (colon !== undefined) {
    return { head: readHead(raw.slice(0, colon)), headAt: startOf(raw), from: colon + 1, to: end };
  }
  const from = firstAmount(raw, masked, end, words);
  const before = raw.slice(0, from);
  const cells = before.split('\t').map((cell) => cell.trim());
  // Cells of a spreadsheet: code, then name.
  const filled = cells.filter((cell) => cell !== '');
  if (before.includes('\t') && filled.length === 2) {
    const [code, name] = filled.map(
      (cell) => readHead(`"${cell.replaceAll('"', '""')}"`).name ?? '',
    );
    return { head: { code, name }, headAt: startOf(raw), from, to: end };
  }
  return { head: readHead(before), headAt: startOf(raw), from, to: end };
}

function startOf(raw: string): number {
  return raw.length - raw.trimStart().length;
}

/**
 * Where the parts begin without a colon: at the first amount followed by something known, else at the
 * first amount. A line that starts with an amount is all parts, unless that number alone comes before
 * another amount and so is a code: an unknown short name must not be read as a name.
 */
function firstAmount(raw: string, masked: string, end: number, words: Vocabulary): number {
  const start = startOf(raw);
  const opening = amountAt(raw, start);
  const from = start + (opening?.length ?? 0);
  const lone = /^\s+(?=[\p{N}.,])/u.exec(raw.slice(from, end));
  if (opening !== undefined && !raw.slice(0, end).includes('\t')) {
    const code = lone !== null && !opening.percent;
    return code ? from + lone[0].length : start;
  }
  let first: number | undefined;
  for (const { index } of masked.slice(0, end).matchAll(/(?<=^|\s)[\p{N}.,]/gu)) {
    if (amountAt(raw, index) === undefined) continue;
    if (termStartsAt(raw, index, end, words)) return index;
    if (index > start) first ??= index;
  }
  return first ?? start;
}

/** Separates tags and the words for the basis from the parts. */
function separateMarks(
  raw: string,
  masked: string,
  { from, to }: Found,
): { readonly body: string; readonly tags: readonly string[]; readonly basis?: Basis } {
  const tags: string[] = [];
  let basis: Basis | undefined;
  let body = raw;
  const blank = (at: number, length: number) => {
    body = `${body.slice(0, at)}${' '.repeat(length)}${body.slice(at + length)}`;
  };
  for (const { 0: text, index } of masked.slice(from, to).matchAll(/#(?:"+|[^\s,;#"]*)/gu)) {
    const plain = raw.slice(from + index + 1, from + index + text.length);
    const tag = trimmed(plain.startsWith('"') ? plain.slice(1, -1).replaceAll('""', '"') : plain);
    if (tag !== '' && !tags.includes(tag)) tags.push(tag);
    blank(from + index, text.length);
  }
  const basisWords = /(?<=^|[\s,;])(?:by\s+)?(weight|volume)(?=$|[\s,;])/iu;
  const found = basisWords.exec(masked.slice(from, to));
  if (found !== null && /^by/i.test(found[0])) {
    basis = found[1].toLowerCase() as Basis;
    blank(from + found.index, found[0].length);
  }
  return { body, tags, ...(basis === undefined ? {} : { basis }) };
}

function checkHead(
  { code, name }: ShorthandHead,
  at: number,
  words: Vocabulary,
  errors: ShorthandError[],
): void {
  const add = (found: string, message: string) =>
    errors.push({ column: at + 1, length: found.length, found: firstLetters(found), message });
  if (code !== undefined) {
    const same = words.taken.same(code);
    if (same !== undefined) add(code, `The code ${same} is already used. Choose another.`);
    const most = SHORTHAND_LIMITS.codeCharacters;
    if (code.length > most) add(code, `A code has at most ${most} characters.`);
  }
  if ((name?.length ?? 0) > RECIPE_LIMITS.nameCharacters) {
    add(name ?? '', `A name has at most ${RECIPE_LIMITS.nameCharacters} characters.`);
  }
}
