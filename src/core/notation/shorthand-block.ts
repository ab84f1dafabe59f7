import { type Basis, orderMixes } from '../mixes/mix-graph.ts';
import { codeKey } from './codes.ts';
import { readShorthandLine, type ShorthandLine } from './shorthand-line.ts';
import { tableOf } from './shorthand-table.ts';
import { errorAt } from './shorthand-terms.ts';
import {
  type ShorthandWord,
  type Vocabulary,
  type VocabularyWords,
  vocabularyOf,
} from './shorthand-vocabulary.ts';

/** One line of pasted notes. */
export type BlockLine = ShorthandLine & {
  /** 1 is the first line of the notes. */
  readonly line: number;
  /** Names the mix of this line in the parts of other lines. */
  readonly id: string;
};

export interface BlockRead {
  /** Every line, blank ones and headings too, in order. */
  readonly lines: readonly BlockLine[];
  readonly mixes: number;
  readonly unreadable: number;
}

/**
 * Most that is read at once. `errors` are the lines whose unknown words are compared with all known ones;
 * `depth` is how many mixes may be made of one another in a row.
 */
export const BLOCK_LIMITS = {
  characters: 2 ** 20,
  lines: 20_000,
  errors: 1000,
  depth: 100,
} as const;

export type MixLine = BlockLine & { readonly kind: 'mix' };

/**
 * Many lines of notes, or rows pasted from a spreadsheet with their headings (code, name, mix, tags,
 * basis, note, or a column for every short name).
 * Refuses: nothing by throwing; a code used twice, and mixes made of one another in a circle, are
 *          errors of their lines; the first line past BLOCK_LIMITS comes back with an error that says so,
 *          and no line after that one is read
 * Holds:   one answer for each line up to the limits, with its text; mixes may be made of mixes of other
 *          lines, before or after; a line alone reads as in `readShorthandLine`. Past BLOCK_LIMITS.errors
 *          lines that cannot be read, further ones get no suggestion
 * Time:    in proportion to the characters: every line is read at most twice, a line takes time in
 *          proportion to its length (`Vocabulary.match`), codes are looked up in maps, and circles and
 *          depths are found in one walk over all parts
 */
export function readShorthandBlock(
  text: string,
  words: VocabularyWords,
  options: { readonly basis?: Basis } = {},
): BlockRead {
  const raws = text
    .slice(0, BLOCK_LIMITS.characters)
    .replace(/^\ufeff/, '')
    .split(/\r\n|\r|\n/, BLOCK_LIMITS.lines + 1);
  const cut = text.length > BLOCK_LIMITS.characters && raws.length <= BLOCK_LIMITS.lines;
  const vocabulary = vocabularyOf(words);
  const read = readerOf(raws, vocabulary, {
    ...options,
    ...(cut ? { cutAt: raws.length - 1 } : {}),
  });
  const place = (i: number) => ({ line: i + 1, id: `line ${i + 1}` });
  // Codes in the notes are known only when all lines are read, so unknown words are looked up then.
  const quick = { ...vocabulary, nearest: () => undefined };
  const lines: BlockLine[] = raws.map((raw, i) => ({ ...read(raw, i, quick), ...place(i) }));
  const newCodes = codesOf(lines);
  const all = newCodes.length === 0 ? vocabulary : vocabularyOf({ ...words, newCodes });
  const hasty = { ...all, nearest: () => undefined };
  let unread = 0;
  lines.forEach((line, i) => {
    if (line.kind !== 'errors') return;
    lines[i] = { ...read(line.raw, i, unread < BLOCK_LIMITS.errors ? all : hasty), ...place(i) };
    if (lines[i].kind === 'errors') unread++;
  });
  rejectDoubles(lines);
  rejectCircles(lines);
  rejectDeep(lines);
  noteWaiting(lines);
  return {
    lines,
    mixes: lines.filter(({ kind }) => kind === 'mix').length,
    unreadable: lines.filter(({ kind }) => kind === 'errors').length,
  };
}

type ReadRow = (raw: string, at: number, words: Vocabulary) => ShorthandLine;

function readerOf(
  raws: readonly string[],
  vocabulary: Vocabulary,
  { cutAt, ...options }: { readonly basis?: Basis; readonly cutAt?: number },
): ReadRow {
  const headingAt = raws.findIndex((raw) => raw.trim() !== '');
  const table = headingAt < 0 ? undefined : tableOf(raws[headingAt], vocabulary);
  return (raw, at, words) => {
    if (at >= BLOCK_LIMITS.lines || at === cutAt) {
      const most =
        at === cutAt
          ? `${BLOCK_LIMITS.characters.toLocaleString('en')} letters`
          : `${BLOCK_LIMITS.lines.toLocaleString('en')} lines`;
      const message = `At most ${most} are read at once. Import the rest from this line on separately.`;
      return { raw, kind: 'errors', errors: [errorAt(raw, 0, raw.length, message)], head: {} };
    }
    if (table === undefined || raw.trim() === '') return readShorthandLine(raw, words, options);
    if (at === headingAt) return { raw, kind: 'remark', text: raw.trim() };
    return table.read(raw, words, options);
  };
}

function headOfLine(line: BlockLine) {
  if (line.kind === 'mix') return line.mix;
  return line.kind === 'errors' ? line.head : {};
}

/** Codes in the notes as words, each by its first line. */
function codesOf(lines: readonly BlockLine[]): readonly ShorthandWord[] {
  const found = new Map<string, ShorthandWord>();
  for (const line of lines) {
    const { code } = headOfLine(line);
    if (code === undefined || found.has(codeKey(code))) continue;
    found.set(codeKey(code), { word: code, clay: line.id });
  }
  return [...found.values()];
}

function reject(line: BlockLine, found: string, message: string): BlockLine {
  const { raw, id } = line;
  const at = Math.max(0, raw.indexOf(found));
  const error = errorAt(raw, at, at + found.length, message);
  const { code, name } = headOfLine(line);
  const head = { ...(code === undefined ? {} : { code }), ...(name === undefined ? {} : { name }) };
  const errors = line.kind === 'errors' ? [error, ...line.errors] : [error];
  return { raw, kind: 'errors', errors, head, line: line.line, id };
}

function rejectDoubles(lines: BlockLine[]): void {
  const first = new Map<string, number>();
  lines.forEach((line, i) => {
    const { code } = headOfLine(line);
    if (code === undefined) return;
    const before = first.get(codeKey(code));
    if (before === undefined) first.set(codeKey(code), line.line);
    else
      lines[i] = reject(
        line,
        code,
        `Line ${before} already has the code ${code}. Give one of the two another code.`,
      );
  });
}

function rejectCircles(lines: BlockLine[]): void {
  const at = new Map(lines.map(({ id }, i) => [id, i]));
  const mixes = new Map(lines.flatMap((line) => (isMix(line) ? [[line.id, line.mix]] : [])));
  for (;;) {
    const order = orderMixes(mixes, (id) => !mixes.has(id), mixes.keys());
    if (order.status !== 'circle') return;
    const codes = order.circle.map((id) => mixes.get(id)?.code ?? id);
    const message =
      codes.length === 1
        ? `${codes[0]} cannot be part of itself.`
        : `${codes.join(', ')} are made of one another in a circle. Write one of them with clays.`;
    order.circle.forEach((id, i) => {
      const line = at.get(id);
      if (line !== undefined) lines[line] = reject(lines[line], codes[i], message);
      mixes.delete(id);
    });
  }
}

/** Mixes of mixes of mixes: past the depth allowed, the line that goes too deep is an error. */
function rejectDeep(lines: BlockLine[]): void {
  const at = new Map(lines.map(({ id }, i) => [id, i]));
  const mixes = new Map(lines.flatMap((line) => (isMix(line) ? [[line.id, line.mix]] : [])));
  const order = orderMixes(mixes, (id) => !mixes.has(id), mixes.keys());
  if (order.status !== 'ordered') return;
  const depths = new Map<string, number>();
  for (const id of order.mixes) {
    const parts = mixes.get(id)?.parts ?? [];
    const depth = 1 + parts.reduce((most, { clay }) => Math.max(most, depths.get(clay) ?? 0), 0);
    // What is made of a mix that is refused starts over: one message for each step too deep is enough.
    depths.set(id, depth > BLOCK_LIMITS.depth ? 0 : depth);
    const line = at.get(id);
    if (depth <= BLOCK_LIMITS.depth || line === undefined) continue;
    const message = `More than ${BLOCK_LIMITS.depth} mixes are made of one another in a row. Write this one with clays.`;
    lines[line] = reject(lines[line], mixes.get(id)?.code ?? lines[line].raw.slice(0, 24), message);
  }
}

/** Adds a note to mixes made of lines that cannot be read yet. */
function noteWaiting(lines: BlockLine[]): void {
  const byId = new Map(lines.map((line) => [line.id, line]));
  lines.forEach((line, i) => {
    if (!isMix(line)) return;
    const waiting = line.mix.parts.flatMap(({ clay }) => {
      const other = byId.get(clay);
      return other === undefined || isMix(other) ? [] : [other.line];
    });
    if (waiting.length === 0) return;
    const note = `This mix uses line ${waiting.join(', ')}, which cannot be read yet.`;
    lines[i] = { ...line, notes: [...line.notes, note] };
  });
}

function isMix(line: BlockLine): line is MixLine {
  return line.kind === 'mix';
}
