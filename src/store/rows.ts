import { AppError } from '../core/errors.ts';
import type { CodeSpace, IndexFields } from '../domain/index-fields.ts';
import type { JournalEntry, JournalGroup } from '../domain/records/change.ts';
import type { BookKind, BookRecord } from '../domain/records/record.ts';
import type { EntryTable, GroupTable, LinkColumns, RecordColumns } from './schema.ts';

export function recordFromRow(row: Omit<RecordColumns, 'words'>): BookRecord {
  return {
    kind: row.kind,
    id: row.id,
    version: row.version,
    createdAt: row.created_at,
    changedAt: row.changed_at,
    ...(row.deleted_at === null ? {} : { deletedAt: row.deleted_at }),
    body: fromJson(row.body, row.id),
  } as BookRecord;
}

export function rowFromRecord(
  record: BookRecord,
  facts: IndexFields,
  createdSeq: number,
  changedSeq: number,
): RecordColumns {
  const live = record.deletedAt === undefined;
  const code = live ? facts.code : undefined;
  return {
    id: record.id,
    kind: record.kind,
    version: record.version,
    created_at: record.createdAt,
    changed_at: record.changedAt,
    deleted_at: record.deletedAt ?? null,
    live: live ? 1 : 0,
    created_seq: createdSeq,
    changed_seq: changedSeq,
    code_space: code?.space ?? null,
    code_key: code?.key ?? null,
    sort_name: facts.sortName,
    sort_code: facts.sortCode,
    status: facts.status ?? null,
    words: facts.words,
    lab_l: facts.lab?.[0] ?? null,
    lab_a: facts.lab?.[1] ?? null,
    lab_b: facts.lab?.[2] ?? null,
    body: JSON.stringify(record.body),
  };
}

export function linkRows(id: string, { links }: IndexFields): LinkColumns[] {
  return links.map(({ to, kind, role, weak }) => ({
    from_id: id,
    role,
    to_id: to,
    to_kind: kind,
    weak: weak ? 1 : 0,
  }));
}

export function indexFieldsFromRow(
  row: RecordColumns,
  links: readonly LinkColumns[],
  tags: readonly string[],
): IndexFields {
  return {
    ...(row.code_space === null || row.code_key === null
      ? {}
      : { code: { space: row.code_space as CodeSpace, key: row.code_key } }),
    sortName: row.sort_name,
    sortCode: row.sort_code,
    ...(row.status === null ? {} : { status: row.status }),
    tags,
    words: row.words,
    ...(row.lab_l === null ? {} : { lab: [row.lab_l, row.lab_a!, row.lab_b!] as const }),
    links: links.map((link) => ({
      to: link.to_id,
      kind: link.to_kind as BookKind,
      role: link.role,
      weak: link.weak === 1,
    })),
  };
}

export function groupFromRow(row: GroupTable): JournalGroup {
  return {
    seq: row.seq,
    at: row.at,
    what: row.what,
    sort: row.sort as JournalGroup['sort'],
    ...(row.root === null ? {} : { root: row.root }),
    ...(row.by === null ? {} : { by: row.by }),
    ...(row.key === null ? {} : { key: row.key }),
    state: row.state as JournalGroup['state'],
    head: row.head,
    records: row.records,
  };
}

export function entryFromRow(row: EntryTable): JournalEntry {
  return {
    seq: row.seq,
    kind: row.kind as BookKind,
    id: row.record_id,
    ...(row.before === null ? {} : { before: fromJson(row.before, row.record_id) }),
    ...(row.after === null ? {} : { after: fromJson(row.after, row.record_id) }),
  };
}

/** Text this program wrote as JSON; if it is none now, the disk changed it. */
export function fromJson<T>(text: string, id: string): T {
  try {
    return JSON.parse(text);
  } catch (thrown) {
    throw new AppError({
      code: 'book-damaged',
      kind: 'unavailable',
      detail: `What the book holds of ${id} is damaged.`,
      hint: 'Keep the book as it is, and restore the newest backup beside it.',
      cause: thrown,
    });
  }
}
