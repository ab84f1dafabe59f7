import { AppError } from '../core/errors.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import { parseRecipe, type Recipe } from '../core/notation/notation.ts';
import type { RecipeFileRow } from '../domain/file-rows.ts';
import { textFromBytes } from '../domain/text-file.ts';
import { placed, unreadable } from '../domain/unreadable-file.ts';
import { columnNamed } from './columns.ts';
import { csvTable } from './csv-table.ts';
import { cellOf, type Row } from './delimited.ts';
import { checkWidths } from './table-columns.ts';
import { basisFrom } from './words.ts';

export interface RecipesRead {
  readonly recipes: readonly RecipeFileRow[];
}

/**
 * Recipes from a CSV file with a column `of` and, if needed, `basis`; other columns are ignored, so that a
 * file of readings works too.
 * Refuses: no column `of`, one of the two twice, a recipe or basis that cannot be read, rows of another
 *          width, no rows -> file-unreadable
 */
export function readRecipesCsv(bytes: Uint8Array, fileName: string): RecipesRead {
  const { header, rows } = csvTable(textFromBytes(bytes, fileName), { file: fileName });
  const hint = 'The first line names the columns; one of them is "of".';
  const ofColumn = columnIndex(header, 'of', fileName);
  const basisColumn = columnIndex(header, 'basis', fileName);
  if (ofColumn === undefined) {
    throw unreadable({
      file: fileName,
      line: header.line,
      saw: 'no such column among the headings',
      expected: 'a column "of"',
      hint,
    });
  }
  if (rows.length === 0) {
    throw unreadable({
      file: fileName,
      saw: 'headings and no rows',
      expected: 'one row for every recipe',
      hint,
    });
  }
  checkWidths(rows, header.cells.length, fileName);
  const recipes = rows.map((row) => {
    const basis = basisIn(row, basisColumn, header, fileName);
    return {
      of: recipeIn(row, ofColumn, header, fileName),
      written: cellOf(row, ofColumn).text,
      ...(basis === undefined ? {} : { basis }),
      place: { file: fileName, line: row.line },
      column: ofColumn + 1,
    };
  });
  return { recipes };
}

/** The column with this name; where none has it exactly, the one that means the same. */
function columnIndex(header: Row, name: 'of' | 'basis', file: string): number | undefined {
  const all = header.cells.flatMap(({ text }, i) => (columnNamed(text) === name ? [i] : []));
  const exact = all.filter((i) => cellOf(header, i).text.toLowerCase() === name);
  const [first, second] = exact.length > 0 ? exact : all;
  if (first === undefined || second === undefined) return first;
  throw unreadable({
    file,
    line: header.line,
    column: second + 1,
    found: cellOf(header, second).text,
    expected: `each heading once (column ${first + 1} has the same)`,
    hint: 'Remove one of the two columns.',
  });
}

function recipeIn(row: Row, index: number, header: Row, file: string): Recipe {
  const { text, line } = cellOf(row, index);
  const at = { file, line, column: index + 1, name: cellOf(header, index).text };
  try {
    return parseRecipe(text);
  } catch (error) {
    throw error instanceof AppError ? placed(error, at) : error;
  }
}

function basisIn(
  row: Row,
  index: number | undefined,
  header: Row,
  file: string,
): Basis | undefined {
  const cell = index === undefined ? undefined : row.cells[index];
  if (index === undefined || cell === undefined || cell.text === '') return undefined;
  const basis = basisFrom(cell.text);
  if (basis !== undefined) return basis;
  throw unreadable({
    file,
    line: cell.line,
    column: index + 1,
    name: cellOf(header, index).text,
    found: cell.text,
    expected: 'volume or weight',
    hint: 'Leave the cell empty for the basis of the clay model.',
  });
}
