import { unreadable } from '../domain/unreadable-file.ts';
import type { Row } from './delimited.ts';

/**
 * Places of the named columns of a table. Case, spaces and underlines in headings do not matter; columns
 * `note...` and `x-...` are ignored.
 * Refuses: an unknown heading, one heading twice, a needed one missing -> file-unreadable
 */
export function namedColumns<T extends string>(
  header: Row,
  file: string,
  headings: readonly T[],
  needed: readonly T[],
): ReadonlyMap<T, number> {
  const at = new Map<T, number>();
  header.cells.forEach(({ text, line }, index) => {
    const key = text
      .trim()
      .toLowerCase()
      .replace(/[\s_-]+/g, '-');
    if (key === '' || /^(?:note|x-)/.test(key)) return;
    const name = headings.find((heading) => heading.toLowerCase() === key);
    if (name === undefined || at.has(name)) {
      throw unreadable({
        ...{ file, line, column: index + 1, found: text },
        expected: `each of ${headings.join(', ')} once`,
        hint: 'Begin the headings of your own columns with note or x-.',
      });
    }
    at.set(name, index);
  });
  for (const name of needed) {
    if (at.has(name)) continue;
    throw unreadable({
      ...{ file, line: header.line, saw: 'no such column among the headings' },
      expected: `a column "${name}"`,
      hint: `The headings are ${headings.join(', ')}; needed: ${needed.join(', ')}.`,
    });
  }
  return at;
}

/** Refuses: rows with more or fewer cells than there are headings -> file-unreadable */
export function checkWidths(rows: readonly Row[], width: number, file: string): void {
  const row = rows.find(({ cells }) => cells.length !== width);
  if (row === undefined) return;
  throw unreadable({
    file,
    line: row.line,
    saw: `${row.cells.length} cells`,
    expected: `${width}, as in the headings`,
    hint: 'Put a cell with a comma inside in quotes. With decimal commas, separate the columns by semicolons.',
  });
}
