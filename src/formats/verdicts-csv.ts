import { AppError } from '../core/errors.ts';
import { parseRecipe, type Recipe } from '../core/notation/notation.ts';
import {
  EYE_GRADES,
  EYE_WORDS,
  type EyeGrade,
  type EyeVerdict,
  type EyeWord,
} from '../core/trial/by-eye-observer.ts';
import type { VerdictRow } from '../domain/file-rows.ts';
import { textFromBytes } from '../domain/text-file.ts';
import { placed, unreadable } from '../domain/unreadable-file.ts';
import { csvTable } from './csv-table.ts';
import { cellOf } from './delimited.ts';
import { checkWidths, namedColumns } from './table-columns.ts';

const BALLS = ['A', 'B', 'C'] as const;
const HEADINGS = ['trial', ...BALLS, 'nearest', 'how'] as const;
type Heading = (typeof HEADINGS)[number];
const HINT = 'The first line is trial,A,B,C,nearest,how.';
/** More than anybody rolls for one colour; each is computed again at every call. */
const MOST_ROWS = 50;

/**
 * Test balls and the verdicts by eye on them, from a CSV file.
 * Shape:   one row for each round of balls, in the order they were rolled
 * Refuses: a heading missing, unknown or twice, rows of another width, a recipe, a ball or a word that
 *          cannot be read, a row without a verdict before the last -> file-unreadable
 */
export function readVerdictsCsv(bytes: Uint8Array, fileName: string): readonly VerdictRow[] {
  const { header, rows } = csvTable(textFromBytes(bytes, fileName), {
    file: fileName,
    example: 'trial,A,B,C,nearest,how',
  });
  const at = namedColumns(header, fileName, HEADINGS, ['A', 'nearest']);
  checkWidths(rows, header.cells.length, fileName);
  if (rows.length > MOST_ROWS) {
    throw unreadable({
      file: fileName,
      saw: `${rows.length} rows`,
      expected: `at most ${MOST_ROWS}`,
      hint: 'Write one file for each colour.',
    });
  }
  return rows.map((row, i) => {
    const where = { file: fileName, line: row.line };
    const cell = (name: Heading) => {
      const index = at.get(name);
      const text = index === undefined ? '' : cellOf(row, index).text.trim();
      return { text, at: { ...where, column: (index ?? 0) + 1, name } };
    };
    const balls = BALLS.flatMap((name) => recipeIn(cell(name)));
    if (balls.length === 0) {
      throw unreadable({ ...where, saw: 'no ball', expected: 'a recipe under A', hint: HINT });
    }
    const verdict = verdictIn(cell('nearest'), cell('how'), balls.length);
    if (verdict === undefined && i < rows.length - 1) {
      throw unreadable({
        ...cell('nearest').at,
        found: '',
        expected: 'A, B, C or none',
        hint: 'Only the last row may be without a verdict.',
      });
    }
    return { balls, place: where, ...(verdict === undefined ? {} : { verdict }) };
  });
}

interface Cell {
  readonly text: string;
  readonly at: { file: string; line: number; column: number; name: string };
}

function recipeIn({ text, at }: Cell): readonly Recipe[] {
  if (text === '') return [];
  try {
    return [parseRecipe(text)];
  } catch (error) {
    throw error instanceof AppError ? placed(error, at) : error;
  }
}

function verdictIn(nearest: Cell, how: Cell, balls: number): EyeVerdict | undefined {
  const words = wordsIn(how);
  if (nearest.text === '') {
    if (words.length === 0) return undefined;
    throw unreadable({
      ...nearest.at,
      found: '',
      expected: 'A, B, C or none',
      hint: 'Write which ball the words are about.',
    });
  }
  const grades = words.flatMap(({ word, much }) => (much === undefined ? [] : [[word, much]]));
  const looks = {
    ...(words.length === 0 ? {} : { how: words.map(({ word }) => word) }),
    ...(grades.length === 0 ? {} : { much: Object.fromEntries(grades) }),
  };
  if (nearest.text.toLowerCase() === 'none') return { nearest: 'none', ...looks };
  const ball = (BALLS as readonly string[]).indexOf(nearest.text.toUpperCase());
  if (ball >= 0 && ball < balls) return { nearest: ball, ...looks };
  throw unreadable({
    ...nearest.at,
    found: nearest.text,
    expected: `${BALLS.slice(0, balls).join(', ')} or none`,
    hint: 'Write none where you cannot say which is closest.',
  });
}

/** Words with how much of each: `slightly lighter and far duller`. */
function wordsIn({ text, at }: Cell): { readonly word: EyeWord; readonly much?: EyeGrade }[] {
  const said: { word: EyeWord; much?: EyeGrade }[] = [];
  let grade: EyeGrade | undefined;
  const refused = (found: string) =>
    unreadable({
      ...at,
      found,
      expected: `${EYE_WORDS.join(', ')}; before a word, if wanted, ${EYE_GRADES.join(', ')}`,
      hint: 'Write how the closest ball looks next to the original, or leave the cell empty.',
    });
  for (const token of text.toLowerCase().split(/[\s,;]+|\band\b/)) {
    if (token === '') continue;
    const isGrade = EYE_GRADES.find((name) => name === token);
    const word = EYE_WORDS.find((name) => name === token);
    if (isGrade !== undefined && grade === undefined) grade = isGrade;
    else if (word === undefined || (word === 'same' && grade !== undefined)) throw refused(token);
    else {
      said.push({ word, ...(grade === undefined ? {} : { much: grade }) });
      grade = undefined;
    }
  }
  if (grade !== undefined) throw refused(grade);
  return said;
}
