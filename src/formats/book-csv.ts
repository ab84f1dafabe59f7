import { csvLine, fromHarmless, harmless } from '../domain/csv-writer.ts';
import { bodyFrom, fieldsOf, valueAt } from '../domain/records/fields.ts';
import { BOOK_KINDS, type BookKind, type BookRecord } from '../domain/records/record.ts';
import { upgradedKind, upgradedPath, upgradeRecord } from '../domain/upgrade-record.ts';
import { recordFrom, recordsInOrder, unreadableExport } from './book-json.ts';
import { csvTable, headingsOf } from './csv-table.ts';
import { cellOf, type Separator } from './delimited.ts';
import { numberFrom } from './numbers.ts';

const ENVELOPE = ['kind', 'id', 'version', 'createdAt', 'changedAt', 'deletedAt'] as const;

/**
 * Records of a book as tables, one for each kind of record: the record's own columns, then every field of
 * its body. Texts are written as they are (made harmless to spreadsheets), everything else as JSON; an empty
 * cell means no value.
 * Holds:   the same records give the same bytes; `recordsFromBookCsv` gives them back
 */
export function bookTables(records: readonly BookRecord[]): ReadonlyMap<BookKind, string> {
  const tables = new Map<BookKind, string>();
  for (const record of recordsInOrder(records)) {
    const fields = fieldsOf(record.kind);
    const head = csvLine([...ENVELOPE, ...fields.map(({ path }) => path)]);
    const envelope = ENVELOPE.map((name) => String(record[name] ?? ''));
    const cells = fields.map(({ path, as }) => {
      const value = valueAt(record.body, path);
      if (value === undefined) return '';
      return as === 'text' ? harmless(String(value)) : JSON.stringify(value);
    });
    tables.set(record.kind, (tables.get(record.kind) ?? head) + csvLine([...envelope, ...cells]));
  }
  return tables;
}

/**
 * Records from one table, also after a spreadsheet saved it with semicolons, tabs or decimal commas. Columns
 * may be in any order, and columns of a body may be left out. A table has no version in it, so headings and
 * kinds of every version are read; no two of them are the same.
 * Refuses: an unknown column, a row of another width, a cell that does not fit its column ->
 *          export-unreadable (bad-input), with the line
 */
export function recordsFromBookCsv(text: string, file: string): readonly BookRecord[] {
  const { header, rows, separator } = csvTable(text, {
    file,
    exact: true,
    example: ENVELOPE.join(','),
    isKnown: isEnvelope,
    error: ({ line, column, saw, expected }) => {
      const place = line === undefined ? '' : `line ${line}, column ${column}: `;
      return unreadableExport(file, `${place}found ${saw}, expected ${expected}`);
    },
  });
  const columns = header.cells.map((cell) => cell.text.trim());
  if (new Set(columns).size !== columns.length) {
    throw unreadableExport(file, 'one heading is there twice');
  }
  return rows.map((row) => {
    const place = `line ${row.line}`;
    if (row.cells.length !== columns.length) {
      const found = `${place} has ${row.cells.length} cells`;
      throw unreadableExport(file, `${found}, but there are ${columns.length} headings`);
    }
    const values = new Map(columns.map((name, i) => [name, cellOf(row, i).text]));
    return recordFrom(recordOf(values, { file, place, separator }), file, place);
  });
}

/** Whether a text is a table of an export, by its headings. */
export function isBookTable(text: string): boolean {
  const headings = new Set(headingsOf(text));
  return ['kind', 'id', 'version', 'createdAt'].every((name) => headings.has(name));
}

function isEnvelope(heading: string): boolean {
  return (ENVELOPE as readonly string[]).includes(heading);
}

interface RowPlace {
  readonly file: string;
  readonly place: string;
  readonly separator: Separator;
}

function recordOf(written: ReadonlyMap<string, string>, at: RowPlace) {
  const { file, place } = at;
  const kind = BOOK_KINDS.find((name) => name === upgradedKind(written.get('kind') ?? ''));
  if (kind === undefined) throw unreadableExport(file, `${place} names no kind of record`);
  const values = new Map([...written].map(([name, cell]) => [upgradedPath(kind, name), cell]));
  if (values.size !== written.size) throw unreadableExport(file, 'one heading is there twice');
  const fields = new Map(fieldsOf(kind).map((field) => [field.path, field]));
  const envelope: Record<string, unknown> = {};
  const body = new Map<string, unknown>();
  for (const [name, cell] of values) {
    const field = fields.get(name);
    if (!isEnvelope(name) && field === undefined) {
      throw unreadableExport(file, `a ${kind} has no field "${name.slice(0, 40)}"`);
    }
    if (cell === '') continue;
    if (isEnvelope(name)) {
      envelope[name] = name === 'version' ? Number(cell) : name === 'kind' ? kind : cell;
    } else if (field!.as === 'text') body.set(name, fromHarmless(cell));
    else body.set(name, jsonOf(cell, name, at));
  }
  return upgradeRecord({ ...envelope, body: bodyFrom(body) });
}

function jsonOf(cell: string, name: string, { file, place, separator }: RowPlace): unknown {
  // A spreadsheet may have written decimal commas and TRUE.
  const decimal = separator === ',' ? undefined : numberFrom(cell, ',');
  if (decimal !== undefined) return decimal;
  try {
    return JSON.parse(/^(?:TRUE|FALSE)$/.test(cell) ? cell.toLowerCase() : cell);
  } catch (cause) {
    const found = `${place}, ${name} is "${cell.slice(0, 40)}"`;
    throw unreadableExport(file, `${found}, but must be JSON`, cause);
  }
}
