import { unreadable } from '../domain/unreadable-file.ts';
import type { Columns } from './columns.ts';
import type { ReadingDraft } from './reading-row.ts';

/** L of every tile at or under this, and the file runs 0-1: the blackest clay has an L of about 5. */
const MOST_L = 1;
/** a and b of a 0-1 file (of 128 or of 100) stay within this. */
const MOST_AXIS = 1.28;
/** So many tiles are not all blacker than any clay. */
const MANY_ROWS = 3;

/**
 * Refuses: a file whose L, a, b run from 0 to 1, as every tile in it would be read as black ->
 *          file-unreadable. One or two rows count where a and b are as small
 */
export function checkLabScale(
  drafts: readonly ReadingDraft[],
  columns: Columns,
  file: string,
): void {
  const labs = drafts.flatMap(({ reading, line }) =>
    reading.lab === undefined ? [] : [{ values: reading.lab.values, line }],
  );
  const [first] = labs;
  const lightest = labs.reduce((most, { values }) => Math.max(most, values[0]), 0);
  if (first === undefined || lightest === 0 || lightest > MOST_L) return;
  const small = labs.every(
    ({ values: [, a, b] }) => Math.abs(a) <= MOST_AXIS && Math.abs(b) <= MOST_AXIS,
  );
  if (labs.length < MANY_ROWS && !small) return;
  const column = columns.named.get('L');
  throw unreadable({
    file,
    line: first.line,
    ...(column === undefined ? {} : { column: column.index + 1, name: column.name }),
    saw: `no L above ${lightest} in the whole file`,
    expected: 'L from 0 (black) to 100 (white)',
    hint: 'Where the file runs from 0 to 1, multiply L by 100 and bring a and b to their usual scale (about -100 to 100). A tile as black as this is most likely a wrong measurement.',
  });
}
