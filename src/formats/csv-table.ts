import { isColumnHeading } from './columns.ts';
import { type Row, type Separator, splitDelimited } from './delimited.ts';
import { unreadable } from './refusal.ts';

export interface CsvTable {
  readonly header: Row;
  readonly rows: readonly Row[];
  readonly separator: Separator;
}

/**
 * A separated text cut into its headings and its rows. Empty lines and lines that begin with `#`
 * before the headings are passed over; so is the line `sep=;` that some sheets write first.
 * Refuses: no headings; what `splitDelimited` refuses -> file-unreadable
 */
export function csvTable(text: string, file: string, example = 'tile,of,L,a,b'): CsvTable {
  let start = 0;
  let line = 1;
  for (;;) {
    const end = endOfLine(text, start);
    const content = text.slice(start, end).trim();
    if (content !== '' && !/^"?#/.test(content) && !/^sep=.$/i.test(content)) {
      const separator = separatorOf(content.slice(0, 20_000));
      const [header, ...rows] = splitDelimited(text.slice(start), separator, file, line);
      if (header !== undefined) return { header, rows, separator };
    }
    if (end >= text.length) break;
    start = end + (text.startsWith('\r\n', end) ? 2 : 1);
    line++;
  }
  throw unreadable({
    file,
    saw: 'no headings',
    expected: `a line such as ${example}`,
    hint: 'The first line that does not begin with # names the columns.',
  });
}

function endOfLine(text: string, start: number): number {
  let end = start;
  while (end < text.length && text[end] !== '\n' && text[end] !== '\r') end++;
  return end;
}

/** The separator under which most headings are known; of those, the one that makes most cells. */
function separatorOf(headings: string): Separator {
  let best: Separator = '';
  let bestScore = 0;
  for (const separator of [',', ';', '\t'] as const) {
    const cells = headings.split(separator);
    if (cells.length < 2) continue;
    const known = cells.filter((cell) => isColumnHeading(cell.slice(0, 100).replaceAll('"', '')));
    const score = known.length * 1000 + cells.length;
    if (score > bestScore) {
      best = separator;
      bestScore = score;
    }
  }
  return best;
}
