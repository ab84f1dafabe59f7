import { bodyFrom, fieldsOf, valueAt } from '../domain/records/fields.ts';
import { BOOK_KINDS, type BookKind, type BookRecord } from '../domain/records/record.ts';
import { upgradedKind, upgradedPath, upgradeRecord } from '../domain/upgrade-record.ts';
import { inOrder, recordFrom, unreadableExport } from './book-json.ts';
import { csvLine, csvRows, fromHarmless, harmless } from './plain-csv.ts';

const ENVELOPE = ['kind', 'id', 'version', 'createdAt', 'changedAt', 'deletedAt'] as const;

/**
 * Records of a book as tables, one a kind: the record's own columns, then every field of its body.
 * Texts stand as they are (made harmless to spreadsheets), all else as JSON; an empty cell says nothing.
 * Holds:   the same records give the same bytes; `recordsFromBookCsv` gives them back
 */
export function bookTables(records: readonly BookRecord[]): ReadonlyMap<BookKind, string> {
  const tables = new Map<BookKind, string>();
  for (const record of inOrder(records)) {
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
 * Records out of one table. Columns may stand in any order, and those of a body may be left out. A table
 * says no version, so headings and kinds of every version are read; no two of them are one.
 * Refuses: an unknown column, a row of another width, a cell that is not what its column says ->
 *          export-unreadable (bad-input), with the line
 */
export function recordsFromBookCsv(text: string, file: string): readonly BookRecord[] {
  const rows = csvRows(text.replace(/^\ufeff/, ''));
  if ('says' in rows) throw unreadableExport(file, `line ${rows.line}: ${rows.says}`);
  const [head, ...rest] = rows;
  const columns = head?.cells ?? [];
  if (new Set(columns).size !== columns.length) {
    throw unreadableExport(file, 'a heading stands twice');
  }
  return rest.flatMap(({ line, cells }) => {
    if (cells.length === 1 && cells[0] === '') return [];
    const place = `line ${line}`;
    if (cells.length !== columns.length) {
      throw unreadableExport(
        file,
        `${place} has ${cells.length} cells and the headings ${columns.length}`,
      );
    }
    return [recordFrom(recordOf(columns, cells, file, place), file, place)];
  });
}

function recordOf(
  columns: readonly string[],
  cells: readonly string[],
  file: string,
  place: string,
) {
  const written = cells[columns.indexOf('kind')] ?? '';
  const kind = BOOK_KINDS.find((name) => name === upgradedKind(written));
  if (kind === undefined) throw unreadableExport(file, `${place} says no kind of record`);
  const told = new Map(columns.map((name, i) => [upgradedPath(kind, name), cells[i]]));
  if (told.size !== columns.length) throw unreadableExport(file, 'a heading stands twice');
  const fields = new Map(fieldsOf(kind).map((field) => [field.path, field]));
  const envelope: Record<string, unknown> = {};
  const body = new Map<string, unknown>();
  for (const [name, cell] of told) {
    const field = fields.get(name);
    const own = (ENVELOPE as readonly string[]).includes(name);
    if (!own && field === undefined) {
      throw unreadableExport(file, `a ${kind} has no field "${name.slice(0, 40)}"`);
    }
    if (cell === '') continue;
    if (own) envelope[name] = name === 'version' ? Number(cell) : name === 'kind' ? kind : cell;
    else if (field!.as === 'text') body.set(name, fromHarmless(cell));
    else body.set(name, jsonOf(cell, file, `${place}, ${name}`));
  }
  return upgradeRecord({ ...envelope, body: bodyFrom(body) });
}

function jsonOf(cell: string, file: string, place: string): unknown {
  try {
    return JSON.parse(cell);
  } catch (cause) {
    throw unreadableExport(file, `${place} is "${cell.slice(0, 40)}", and should be JSON`, cause);
  }
}
