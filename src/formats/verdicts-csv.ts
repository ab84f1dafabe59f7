import { AppError } from '../core/errors.ts';
import { parseRecipe, type Recipe } from '../core/notation/notation.ts';
import { EYE_WORDS, type EyeVerdict, type EyeWord } from '../core/trial/by-eye-observer.ts';
import type { VerdictRow } from '../verbs/ports.ts';
import { csvTable } from './csv-table.ts';
import type { Row } from './delimited.ts';
import { placed, unreadable } from './refusal.ts';
import { textFromBytes } from './text.ts';

const BALLS = ['A', 'B', 'C'] as const;
const HEADINGS = ['trial', ...BALLS, 'nearest', 'how'] as const;
type Heading = (typeof HEADINGS)[number];
const HINT = 'The first line is trial,A,B,C,nearest,how.';
/** More than anybody rolls for one colour; each is weighed again at every call. */
const MOST_ROWS = 50;

/**
 * Trials of little balls and what her eye said of them, out of a CSV file.
 * Shape:   one row a trial, in the order they were rolled
 * Refuses: a heading missing, unknown or twice, rows of another width, a recipe, a ball or a word that
 *          cannot be read, a gap before the last row -> file-unreadable
 */
export function readVerdictsCsv(bytes: Uint8Array, fileName: string): readonly VerdictRow[] {
  const { header, rows } = csvTable(textFromBytes(bytes, fileName), fileName);
  const at = headingsOf(header, fileName);
  if (rows.length > MOST_ROWS) {
    throw unreadable({
      file: fileName,
      saw: `${rows.length} rows`,
      expected: `at most ${MOST_ROWS}`,
      hint: 'One file is about one colour.',
    });
  }
  return rows.map((row, i) => {
    const where = { file: fileName, line: row.line };
    if (row.cells.length !== header.cells.length) {
      throw unreadable({
        ...where,
        saw: `${row.cells.length} cells`,
        expected: `${header.cells.length}, as in the headings`,
        hint: 'A cell with a comma inside goes in quotes.',
      });
    }
    const cell = (name: Heading) => {
      const index = at.get(name);
      const text = index === undefined ? '' : row.cells[index].text.trim();
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
        hint: 'Only the last trial may wait for its verdict.',
      });
    }
    return { balls, place: where, ...(verdict === undefined ? {} : { verdict }) };
  });
}

function headingsOf(header: Row, file: string): ReadonlyMap<Heading, number> {
  const at = new Map<Heading, number>();
  header.cells.forEach(({ text, line }, index) => {
    const key = text.trim().toLowerCase();
    if (key === '' || /^(?:note|x-)/.test(key)) return;
    const name = HEADINGS.find((heading) => heading.toLowerCase() === key);
    if (name === undefined || at.has(name)) {
      throw unreadable({
        ...{ file, line, column: index + 1, found: text },
        expected: 'each of trial, A, B, C, nearest, how once',
        hint: 'Columns of your own may begin with note or x-.',
      });
    }
    at.set(name, index);
  });
  for (const name of ['A', 'nearest'] as const) {
    if (at.has(name)) continue;
    throw unreadable({
      ...{ file, line: header.line, saw: 'no such column among the headings' },
      expected: `a column "${name}"`,
      hint: HINT,
    });
  }
  return at;
}

interface Cell {
  readonly text: string;
  readonly at: { file: string; line: number; column: number; name: string };
}

function recipeIn({ text, at }: Cell): readonly Recipe[] {
  if (text === '') return [];
  try {
    return [parseRecipe(text)];
  } catch (fault) {
    throw fault instanceof AppError ? placed(fault, at) : fault;
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
      hint: 'Say which ball the words are about.',
    });
  }
  const told = words.length === 0 ? {} : { how: words };
  if (nearest.text.toLowerCase() === 'none') return { nearest: 'none', ...told };
  const ball = (BALLS as readonly string[]).indexOf(nearest.text.toUpperCase());
  if (ball >= 0 && ball < balls) return { nearest: ball, ...told };
  throw unreadable({
    ...nearest.at,
    found: nearest.text,
    expected: `${BALLS.slice(0, balls).join(', ')} or none`,
    hint: 'Write none where you cannot say which is nearest.',
  });
}

function wordsIn({ text, at }: Cell): EyeWord[] {
  const words = text.toLowerCase().split(/[\s,;]+|\band\b/);
  return words
    .filter((word) => word !== '')
    .map((word) => {
      const known = EYE_WORDS.find((name) => name === word);
      if (known !== undefined) return known;
      throw unreadable({
        ...at,
        found: word,
        expected: EYE_WORDS.join(', '),
        hint: 'Say how the nearest ball looks beside the original, or leave the cell empty.',
      });
    });
}
