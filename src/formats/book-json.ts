import { z } from 'zod';
import { AppError } from '../core/errors.ts';
import { canonicalJson } from '../domain/canonical-json.ts';
import { BOOK_KINDS, type BookRecord, bookRecordSchema } from '../domain/records/record.ts';
import { RECORD_VERSION, upgradeRecord } from '../domain/upgrade-record.ts';
import { issuesOf } from '../domain/validation-issues.ts';

export const BOOK_FORMAT = 'kneadwell-book';

const fileSchema = z.strictObject({
  format: z.literal(BOOK_FORMAT),
  version: z.int().min(1).max(RECORD_VERSION),
  records: z.array(z.unknown()),
});

/**
 * Records of a book as JSON, one on each line, by kind and then by id, keys in alphabetical order.
 * Holds:   the same records give the same bytes; `recordsFromBookJson` gives them back
 */
export function bookJson(records: readonly BookRecord[]): string {
  const lines = recordsInOrder(records).map((record) => canonicalJson(record));
  const list = lines.length === 0 ? '[]' : `[\n${lines.join(',\n')}\n]`;
  return `{"format":"${BOOK_FORMAT}","version":${RECORD_VERSION},"records":${list}}\n`;
}

/** Kinds in the order of docs/book.md, ids by code unit. */
export function recordsInOrder(records: readonly BookRecord[]): readonly BookRecord[] {
  const place = new Map(BOOK_KINDS.map((kind, i) => [kind, i]));
  return records.toSorted(
    (one, other) =>
      place.get(one.kind)! - place.get(other.kind)! ||
      (one.id < other.id ? -1 : one.id > other.id ? 1 : 0),
  );
}

/**
 * Records of an export of this version or of one before.
 * Refuses: no JSON, another format, a newer version, a record that does not fit, an id twice ->
 *          export-unreadable (bad-input), with the record and the field
 */
export function recordsFromBookJson(text: string, file: string): readonly BookRecord[] {
  let read: unknown;
  try {
    read = JSON.parse(text);
  } catch (cause) {
    throw unreadableExport(file, 'the JSON is damaged or cut off', cause);
  }
  const { version } = (read ?? {}) as { version?: unknown };
  if (typeof version === 'number' && version > RECORD_VERSION) {
    throw unreadableExport(file, `a newer Kneadwell wrote this file (version ${version})`);
  }
  const outer = fileSchema.safeParse(read);
  if (!outer.success) {
    throw unreadableExport(file, 'the file is not an export of a mix book', outer.error);
  }
  const { records, version: written } = outer.data;
  return records.map((record, i) =>
    recordFrom(written < RECORD_VERSION ? upgradeRecord(record) : record, file, `record ${i + 1}`),
  );
}

/** One record of an export, checked against its schema. */
export function recordFrom(sent: unknown, file: string, place: string): BookRecord {
  const record = bookRecordSchema.safeParse(sent);
  if (record.success) return record.data as BookRecord;
  const [{ field, message }] = issuesOf(record.error);
  const at = field === '' ? 'at the top' : `at ${field}`;
  throw unreadableExport(file, `${place} does not fit ${at}: ${message}`, record.error);
}

export function unreadableExport(file: string, why: string, cause?: unknown): AppError {
  return new AppError({
    code: 'export-unreadable',
    kind: 'bad-input',
    detail: `${file} cannot be imported: ${why}.`,
    hint: 'Nothing was imported. docs/formats.md shows what an export looks like.',
    cause,
  });
}
