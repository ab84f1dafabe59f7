/**
 * One row of a comma-separated text, ending in LF.
 * Holds:  `splitDelimited` with `exact` gives the cells back
 * Source: RFC 4180
 */
export function csvLine(cells: readonly string[]): string {
  const written = cells.map((cell) =>
    /[",\r\n]|^\s|\s$/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell,
  );
  return `${written.join(',')}\n`;
}

/** How a text starts that a spreadsheet would run as a formula, or that is escaped already. */
const RUNS = /^['=+\-@\t\r\uff1d\uff0b\uff0d\uff20]/;

/**
 * Text that no spreadsheet runs: an apostrophe goes before whatever would start a formula, and before an
 * apostrophe.
 * Holds:   `fromHarmless(harmless(text))` is the text
 * Source:  OWASP, CSV Injection; the full-width characters too, which some spreadsheets read as plain ones
 */
export function harmless(text: string): string {
  return RUNS.test(text) ? `'${text}` : text;
}

export function fromHarmless(cell: string): string {
  return cell.startsWith("'") ? cell.slice(1) : cell;
}
