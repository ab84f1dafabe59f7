import { AppError } from '../core/errors.ts';
import { parseRecipe, type Recipe } from '../core/notation/notation.ts';
import type { Reading, ReadingPlace } from '../domain/reading.ts';
import { columnNamed } from './columns.ts';
import { csvTable } from './csv-table.ts';
import type { Row } from './delimited.ts';
import { placed, unreadable } from './refusal.ts';
import { textFromBytes } from './text.ts';
import { basisFrom } from './words.ts';

export interface RecipeRow {
  readonly of: Recipe;
  /** The recipe as it stands in the file. */
  readonly written: string;
  /** Absent where the row says nothing. */
  readonly basis?: Reading['basis'];
  readonly place: ReadingPlace;
  /** Column of the recipe, 1 is the first. */
  readonly column: number;
}

export interface RecipesRead {
  readonly recipes: readonly RecipeRow[];
  /** What was taken from the evidence and not from a statement, in plain sentences. */
  readonly notes: readonly string[];
}

/**
 * Recipes out of a CSV file with a column `of` and, if wanted, `basis`; other columns are passed
 * over, so that a file of readings serves too.
 * Refuses: no such column, one of the two twice, a row whose recipe or basis cannot be read, rows of
 *          another width, no rows -> file-unreadable
 */
export function readRecipesCsv(bytes: Uint8Array, fileName: string): RecipesRead {
  const { header, rows } = csvTable(textFromBytes(bytes, fileName), fileName);
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
      expected: 'one row a recipe',
      hint,
    });
  }
  const recipes = rows.map((row) => {
    if (row.cells.length !== header.cells.length) {
      throw unreadable({
        file: fileName,
        line: row.line,
        saw: `${row.cells.length} cells`,
        expected: `${header.cells.length}, as in the headings`,
        hint: 'A cell with a comma inside goes in quotes.',
      });
    }
    const basis = basisIn(row, basisColumn, header, fileName);
    return {
      of: recipeIn(row, ofColumn, header, fileName),
      written: row.cells[ofColumn].text,
      ...(basis === undefined ? {} : { basis }),
      place: { file: fileName, line: row.line },
      column: ofColumn + 1,
    };
  });
  return { recipes, notes: [] };
}

function columnIndex(header: Row, wanted: 'of' | 'basis', file: string): number | undefined {
  const found = header.cells.flatMap((cell, i) => (columnNamed(cell.text) === wanted ? [i] : []));
  if (found.length < 2) return found[0];
  throw unreadable({
    file,
    line: header.line,
    column: found[1] + 1,
    found: header.cells[found[1]].text,
    expected: `each heading once (it stands in column ${found[0] + 1} too)`,
    hint: 'Take one of the two out.',
  });
}

function recipeIn(row: Row, index: number, header: Row, file: string): Recipe {
  const { text, line } = row.cells[index];
  const at = { file, line, column: index + 1, name: header.cells[index].text };
  try {
    return parseRecipe(text);
  } catch (fault) {
    throw fault instanceof AppError ? placed(fault, at) : fault;
  }
}

function basisIn(
  row: Row,
  index: number | undefined,
  header: Row,
  file: string,
): Reading['basis'] | undefined {
  const cell = index === undefined ? undefined : row.cells[index];
  if (index === undefined || cell === undefined || cell.text === '') return undefined;
  const basis = basisFrom(cell.text);
  if (basis !== undefined) return basis;
  throw unreadable({
    file,
    line: cell.line,
    column: index + 1,
    name: header.cells[index].text,
    found: cell.text,
    expected: 'volume or weight',
    hint: 'Leave the cell empty where it does not matter.',
  });
}
