import type { Basis } from '../mixes/mix-graph.ts';
import { writeHead } from './shorthand-head.ts';
import { readShorthandLine, type ShorthandLine } from './shorthand-line.ts';
import { errorAt } from './shorthand-terms.ts';
import type { Vocabulary } from './shorthand-vocabulary.ts';

/** Reads rows of a pasted table by its headings. */
export interface ShorthandTable {
  read(raw: string, words: Vocabulary, options: { readonly basis?: Basis }): ShorthandLine;
}

type Column = 'code' | 'name' | 'mix' | 'tags' | 'basis' | 'note' | { readonly word: string };

const HEADINGS: Readonly<Record<string, Exclude<Column, object>>> = {
  code: 'code',
  name: 'name',
  colour: 'name',
  color: 'name',
  mix: 'mix',
  recipe: 'mix',
  parts: 'mix',
  'made of': 'mix',
  of: 'mix',
  tag: 'tags',
  tags: 'tags',
  basis: 'basis',
  by: 'basis',
  note: 'note',
  notes: 'note',
};

interface Cell {
  readonly text: string;
  /** Where the text begins in the line. */
  readonly at: number;
}

/** A piece of a line of notes and the place in the row where it comes from. */
interface Piece {
  readonly text: string;
  readonly at: number;
  readonly length: number;
}

/**
 * The table that a first line is the headings of, or undefined where it is none: the headings must name
 * a code, a name or a mix, and columns for the parts. Cells are separated by tabs, semicolons or commas.
 */
export function tableOf(heading: string, words: Vocabulary): ShorthandTable | undefined {
  for (const separator of ['\t', ';', ',']) {
    const columns = cellsOf(heading, separator).map(({ text }) => columnOf(text, words));
    const named = columns.filter((column) => typeof column === 'string');
    const counted = columns.filter((column) => typeof column === 'object');
    const parts = named.includes('mix') || counted.length > 0;
    const headed = named.some((column) => ['code', 'name', 'mix'].includes(column));
    if (!parts || !headed || named.length + counted.length < 2) continue;
    return { read: (raw, now, options) => readRow(raw, separator, columns, now, options) };
  }
  return undefined;
}

function columnOf(text: string, words: Vocabulary): Column | undefined {
  const key = text.toLowerCase().replace(/\s+/gu, ' ');
  if (Object.hasOwn(HEADINGS, key)) return HEADINGS[key];
  return words.whole(text) === undefined ? undefined : { word: text };
}

/** Cells of one row; quotes count where they open a cell, doubled inside, as in RFC 4180. */
function cellsOf(raw: string, separator: string): readonly Cell[] {
  const cells: Cell[] = [];
  let at = 0;
  for (;;) {
    const quoted = /^[^\S\t]*"((?:[^"]|"")*)"[^\S\t]*/.exec(raw.slice(at));
    const end = at + (quoted?.[0].length ?? 0);
    if (quoted !== null && (end >= raw.length || raw[end] === separator)) {
      cells.push({ text: quoted[1].replaceAll('""', '"').trim(), at: raw.indexOf('"', at) + 1 });
      at = end;
    } else {
      const next = raw.indexOf(separator, at);
      const stop = next < 0 ? raw.length : next;
      const text = raw.slice(at, stop);
      cells.push({ text: text.trim(), at: at + text.length - text.trimStart().length });
      at = stop;
    }
    if (at >= raw.length) return cells;
    at += 1;
  }
}

/** Writes the row as a line of notes and reads that; errors get the places of their cells. */
function readRow(
  raw: string,
  separator: string,
  columns: readonly (Column | undefined)[],
  words: Vocabulary,
  options: { readonly basis?: Basis },
): ShorthandLine {
  const cells = cellsOf(raw, separator);
  const piecesIn = (column: Column, write: (text: string) => string) =>
    cells.flatMap(({ text, at }, i): Piece[] =>
      columns[i] === column && text !== '' ? [{ text: write(text), at, length: text.length }] : [],
    );
  const counted = cells.flatMap(({ text, at }, i): Piece[] => {
    const column = columns[i];
    if (typeof column !== 'object' || /^(?:0(?:[.,]0*)?|[-–—])?$/.test(text)) return [];
    const word = column.word.replaceAll('"', '""');
    return [{ text: `${text} "${word}"`, at, length: text.length }];
  });
  const extra = cells.slice(columns.length).find(({ text }) => text !== '');
  if (extra !== undefined) {
    const message = `The row has more cells than the ${columns.length} headings.`;
    const error = errorAt(raw, extra.at, extra.at + extra.text.length, message);
    return { raw, kind: 'errors', errors: [error], head: {} };
  }
  const pieces: readonly Piece[] = [
    ...piecesIn('code', (code) => writeHead({ code })),
    ...piecesIn('name', (name) => `"${name.replaceAll('"', '""')}"`),
    { text: ':', at: 0, length: 1 },
    ...piecesIn('mix', (mix) => mix),
    ...counted,
    ...piecesIn('tags', tagsOf),
    ...piecesIn('basis', (basis) => (/^by\s/i.test(basis) ? basis : `by ${basis}`)),
    ...piecesIn('note', (note) => `// ${note}`),
  ];
  const read = readShorthandLine(pieces.map(({ text }) => text).join(' '), words, options);
  if (read.kind !== 'errors') return { ...read, raw };
  const errors = read.errors.map((error) => ({ ...error, ...placeIn(pieces, error.column - 1) }));
  return { ...read, raw, errors: errors.map((f) => ({ ...f, length: lengthOf(f, raw) })) };
}

/** Words with commas between them, or with # before each; a cell without either is one tag. */
function tagsOf(cell: string): string {
  const tags = /[,;]/.test(cell)
    ? cell.split(/[,;]/)
    : cell.startsWith('#')
      ? cell.split(/\s+/)
      : [cell];
  return tags
    .map((tag) => tag.trim().replace(/^#/, '').replaceAll('"', '""'))
    .filter((tag) => tag !== '')
    .map((tag) => `#"${tag}"`)
    .join(' ');
}

function placeIn(pieces: readonly Piece[], offset: number): { readonly column: number } {
  let start = 0;
  for (const { text, at, length } of pieces) {
    if (offset <= start + text.length) {
      return { column: at + 1 + Math.max(0, Math.min(offset - start, length - 1)) };
    }
    start += text.length + 1;
  }
  return { column: 1 };
}

function lengthOf({ column, length }: { column: number; length: number }, raw: string): number {
  return Math.max(0, Math.min(length, raw.length - column + 1));
}
