import { type Basis, orderMixes } from '../mixes/mix-graph.ts';
import { codeKey } from './codes.ts';
import { readShorthandLine, type ShorthandLine } from './shorthand-line.ts';
import { tableOf } from './shorthand-table.ts';
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

export const BLOCK_LIMITS = { lines: 20_000 } as const;

type MixLine = BlockLine & { readonly kind: 'mix' };

/**
 * Many lines of notes, or rows pasted from a spreadsheet with their headings (code, name, mix, tags,
 * basis, note, or a column for every short name).
 * Refuses: nothing by throwing; a code used twice, and mixes made of one another in a circle, are
 *          errors of their lines; a line past BLOCK_LIMITS comes back with an error
 * Holds:   one answer for each line, with its text; mixes may be made of mixes of other lines, before
 *          or after; a line alone reads as in `readShorthandLine`
 */
export function readShorthandBlock(
  text: string,
  words: VocabularyWords,
  options: { readonly basis?: Basis } = {},
): BlockRead {
  const raws = text.replace(/^\ufeff/, '').split(/\r\n|\r|\n/);
  const vocabulary = vocabularyOf(words);
  const read = readerOf(raws, vocabulary, options);
  const place = (i: number) => ({ line: i + 1, id: `line ${i + 1}` });
  // Codes in the notes are known only when all lines are read, so unknown words are looked up then.
  const quick = { ...vocabulary, nearest: () => undefined };
  const lines: BlockLine[] = raws.map((raw, i) => ({ ...read(raw, i, quick), ...place(i) }));
  const newCodes = codesOf(lines);
  const all = newCodes.length === 0 ? vocabulary : vocabularyOf({ ...words, newCodes });
  lines.forEach((line, i) => {
    if (line.kind === 'errors') lines[i] = { ...read(line.raw, i, all), ...place(i) };
  });
  rejectDoubles(lines);
  rejectCircles(lines);
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
  options: { readonly basis?: Basis },
): ReadRow {
  const headingAt = raws.findIndex((raw) => raw.trim() !== '');
  const table = headingAt < 0 ? undefined : tableOf(raws[headingAt], vocabulary);
  return (raw, at, words) => {
    if (at >= BLOCK_LIMITS.lines) {
      const message = `At most ${BLOCK_LIMITS.lines} lines are read at once. Paste the rest separately.`;
      const error = { column: 1, length: raw.length, found: raw.slice(0, 24), message };
      return { raw, kind: 'errors', errors: [error], head: {} };
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
  const error = { column: at + 1, length: found.length, found, message };
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
