import { unreadable } from '../domain/unreadable-file.ts';
import { isColumnHeading } from './columns.ts';
import { type Row, type Separator, type SplitOptions, splitDelimited } from './delimited.ts';

export interface CsvTable {
  readonly header: Row;
  readonly rows: readonly Row[];
  readonly separator: Separator;
}

interface TableOptions extends SplitOptions {
  /** A line of headings to show where there is none. */
  readonly example?: string;
  /** Whether a heading is known, which helps to find the separator; those of readings when absent. */
  readonly isKnown?: (heading: string) => boolean;
}

/**
 * A separated text as headings and rows, for every reader of tables: commas, semicolons or tabs; CR LF, LF
 * or CR; a byte-order mark, empty lines, lines that begin with `#` and a line `sep=;` before the headings
 * are skipped.
 * Refuses: no headings; what `splitDelimited` refuses -> file-unreadable
 */
export function csvTable(text: string, options: TableOptions): CsvTable {
  const {
    file,
    example = 'tile,of,L,a,b',
    isKnown = isColumnHeading,
    error = unreadable,
  } = options;
  const { start, line, headings } = headingsIn(text);
  if (headings !== undefined) {
    const separator = separatorOf(headings, isKnown);
    const [header, ...rows] = splitDelimited(text.slice(start), separator, {
      ...options,
      firstLine: line,
    });
    if (header !== undefined) return { header, rows, separator };
  }
  throw error({
    file,
    saw: 'no headings',
    expected: `a line such as ${example}`,
    hint: 'The first line that does not begin with # names the columns.',
  });
}

/** Cells of the first line that names columns, to see what a text is; empty where there is none. */
export function headingsOf(text: string): readonly string[] {
  const { headings = '' } = headingsIn(text);
  const cells = headings.split(separatorOf(headings, isColumnHeading) || '\n');
  return cells.map((cell) => cell.replaceAll('"', '').trim());
}

interface Headings {
  /** Place of the line in the text. */
  readonly start: number;
  readonly line: number;
  /** At most 20 000 characters of the line; absent where the text has none. */
  readonly headings?: string;
}

function headingsIn(text: string): Headings {
  let start = text.startsWith('\ufeff') ? 1 : 0;
  for (let line = 1; ; line++) {
    const end = endOfLine(text, start);
    const content = text.slice(start, end).trim();
    if (content !== '' && !/^"?#/.test(content) && !/^sep=.$/i.test(content)) {
      return { start, line, headings: content.slice(0, 20_000) };
    }
    if (end >= text.length) return { start, line };
    start = end + (text.startsWith('\r\n', end) ? 2 : 1);
  }
}

function endOfLine(text: string, start: number): number {
  let end = start;
  while (end < text.length && text[end] !== '\n' && text[end] !== '\r') end++;
  return end;
}

/** The separator that makes most known headings; of those, the one that makes most cells. */
function separatorOf(headings: string, isKnown: (heading: string) => boolean): Separator {
  let best: Separator = '';
  let bestScore = 0;
  for (const separator of [',', ';', '\t'] as const) {
    const cells = headings.split(separator);
    if (cells.length < 2) continue;
    const known = cells.filter((cell) => isKnown(cell.slice(0, 100).replaceAll('"', '').trim()));
    const score = known.length * 1000 + cells.length;
    if (score > bestScore) {
      best = separator;
      bestScore = score;
    }
  }
  return best;
}
