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

/** A line of a pasted page. */
export type BlockLine = ShorthandLine & {
  /** 1 is the first line of the page. */
  readonly line: number;
  /** Stands for the mix of this line where another line is made of it. */
  readonly id: string;
};

export interface BlockRead {
  /** Every line, blank ones and headings too, in order. */
  readonly lines: readonly BlockLine[];
  readonly mixes: number;
  readonly faulty: number;
}

export const BLOCK_LIMITS = { lines: 20_000 } as const;

type MixLine = BlockLine & { readonly kind: 'mix' };

/**
 * A whole page of shorthand, or rows pasted from a sheet with their headings (code, name, mix, tags,
 * basis, note, or a column for every sign).
 * Refuses: nothing by throwing; a code that stands twice, and mixes made of one another in a circle,
 *          are faults of their lines; past BLOCK_LIMITS a line comes back with a fault
 * Holds:   one answer for each line, its text kept; mixes may be made of mixes of other lines, before
 *          or after; a line alone reads as `readShorthandLine` has it
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
  // Codes of the page are known only when all lines are read, and so what is unknown is told then.
  const quick = { ...vocabulary, nearest: () => undefined };
  const lines: BlockLine[] = raws.map((raw, i) => ({ ...read(raw, i, quick), ...place(i) }));
  const newCodes = codesOf(lines);
  const all = newCodes.length === 0 ? vocabulary : vocabularyOf({ ...words, newCodes });
  lines.forEach((line, i) => {
    if (line.kind === 'faults') lines[i] = { ...read(line.raw, i, all), ...place(i) };
  });
  refuseDoubles(lines);
  refuseCircles(lines);
  tellWaiting(lines);
  return {
    lines,
    mixes: lines.filter(({ kind }) => kind === 'mix').length,
    faulty: lines.filter(({ kind }) => kind === 'faults').length,
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
      const says = `A page has at most ${BLOCK_LIMITS.lines} lines; paste the rest by itself.`;
      const fault = { column: 1, length: raw.length, found: raw.slice(0, 24), says };
      return { raw, kind: 'faults', faults: [fault], head: {} };
    }
    if (table === undefined || raw.trim() === '') return readShorthandLine(raw, words, options);
    if (at === headingAt) return { raw, kind: 'remark', text: raw.trim() };
    return table.read(raw, words, options);
  };
}

function headOfLine(line: BlockLine) {
  if (line.kind === 'mix') return line.mix;
  return line.kind === 'faults' ? line.head : {};
}

/** Codes of the page as words, each by its first line. */
function codesOf(lines: readonly BlockLine[]): readonly ShorthandWord[] {
  const found = new Map<string, ShorthandWord>();
  for (const line of lines) {
    const { code } = headOfLine(line);
    if (code === undefined || found.has(codeKey(code))) continue;
    found.set(codeKey(code), { word: code, clay: line.id });
  }
  return [...found.values()];
}

function refuse(line: BlockLine, found: string, says: string): BlockLine {
  const { raw, id } = line;
  const at = Math.max(0, raw.indexOf(found));
  const fault = { column: at + 1, length: found.length, found, says };
  const { code, name } = headOfLine(line);
  const head = { ...(code === undefined ? {} : { code }), ...(name === undefined ? {} : { name }) };
  const faults = line.kind === 'faults' ? [fault, ...line.faults] : [fault];
  return { raw, kind: 'faults', faults, head, line: line.line, id };
}

function refuseDoubles(lines: BlockLine[]): void {
  const first = new Map<string, number>();
  lines.forEach((line, i) => {
    const { code } = headOfLine(line);
    if (code === undefined) return;
    const before = first.get(codeKey(code));
    if (before === undefined) first.set(codeKey(code), line.line);
    else lines[i] = refuse(line, code, `The code ${code} stands in line ${before} already.`);
  });
}

function refuseCircles(lines: BlockLine[]): void {
  const at = new Map(lines.map(({ id }, i) => [id, i]));
  const mixes = new Map(lines.flatMap((line) => (isMix(line) ? [[line.id, line.mix]] : [])));
  for (;;) {
    const order = orderMixes(mixes, (id) => !mixes.has(id), mixes.keys());
    if (order.status !== 'circle') return;
    const codes = order.circle.map((id) => mixes.get(id)?.code ?? id);
    const says =
      codes.length === 1
        ? `${codes[0]} cannot be made of itself.`
        : `${codes.join(', ')} are made of one another in a circle.`;
    order.circle.forEach((id, i) => {
      const line = at.get(id);
      if (line !== undefined) lines[line] = refuse(lines[line], codes[i], says);
      mixes.delete(id);
    });
  }
}

/** Mixes of mixes whose own line cannot be read yet. */
function tellWaiting(lines: BlockLine[]): void {
  const byId = new Map(lines.map((line) => [line.id, line]));
  lines.forEach((line, i) => {
    if (!isMix(line)) return;
    const waiting = line.mix.parts.flatMap(({ clay }) => {
      const other = byId.get(clay);
      return other === undefined || isMix(other) ? [] : [other.line];
    });
    if (waiting.length === 0) return;
    const note = `It is made of line ${waiting.join(', ')}, which cannot be read yet.`;
    lines[i] = { ...line, notes: [...line.notes, note] };
  });
}

function isMix(line: BlockLine): line is MixLine {
  return line.kind === 'mix';
}
