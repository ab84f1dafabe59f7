/** A fault of a table, with the place it is at. */
export interface CsvFault {
  readonly line: number;
  readonly says: string;
}

export interface CsvRow {
  /** On which it begins; 1 is the first. */
  readonly line: number;
  readonly cells: readonly string[];
}

/**
 * Rows of a comma-separated text, every character kept: white space, breaks inside quotes.
 * Returns: a fault where a quote stays open or something follows a closing one
 * Source:  RFC 4180, with LF or CR LF between the rows
 */
export function csvRows(text: string): readonly CsvRow[] | CsvFault {
  const rows: CsvRow[] = [];
  let cells: string[] = [];
  let line = 1;
  let rowLine = 1;
  let at = 0;
  while (at < text.length) {
    if (text[at] === '"') {
      const opened = line;
      let cell = '';
      for (at++; ; ) {
        const end = text.indexOf('"', at);
        if (end < 0) return { line: opened, says: 'a quote is not closed' };
        cell += text.slice(at, end);
        at = end + 1;
        if (text[at] !== '"') break;
        cell += '"';
        at++;
      }
      line += cell.split('\n').length - 1;
      cells.push(cell);
      if (at < text.length && !/[,\r\n]/.test(text[at])) {
        return { line, says: 'something follows a closing quote' };
      }
    } else {
      const end = nextOf(text, at);
      cells.push(text.slice(at, end));
      at = end;
    }
    if (text[at] === ',') {
      at++;
      // A comma at the very end has an empty cell after it.
      if (at === text.length) cells.push('');
      continue;
    }
    if (text[at] === '\r') at++;
    if (text[at] === '\n') at++;
    rows.push({ line: rowLine, cells });
    cells = [];
    line++;
    rowLine = line;
  }
  if (cells.length > 0) rows.push({ line: rowLine, cells });
  return rows;
}

function nextOf(text: string, from: number): number {
  let at = from;
  while (at < text.length && text[at] !== ',' && text[at] !== '\n' && text[at] !== '\r') at++;
  return at;
}

/** Holds: `csvRows` gives the cells back */
export function csvLine(cells: readonly string[]): string {
  return `${cells.map((cell) => (/[",\r\n]|^\s|\s$/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell)).join(',')}\n`;
}

/** What a spreadsheet would take for a formula, or for the mark that stops it from doing so. */
const RUNS = /^['=+\-@\t\r\uff1d\uff0b\uff0d\uff20]/;

/**
 * Text that no spreadsheet runs: an apostrophe before what would start a formula, and before one.
 * Holds:   `fromHarmless(harmless(text))` is the text
 * Source:  OWASP, CSV Injection; the full-width signs too, which some spreadsheets take for plain ones
 */
export function harmless(text: string): string {
  return RUNS.test(text) ? `'${text}` : text;
}

export function fromHarmless(cell: string): string {
  return cell.startsWith("'") ? cell.slice(1) : cell;
}
