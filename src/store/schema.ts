/** Tables of a book as queries see them; migrations.ts makes them. */
export interface Tables {
  readonly record: RecordColumns;
  readonly link: LinkColumns;
  readonly tag: { record_id: string; tag: string };
  readonly journal_group: GroupTable;
  readonly journal_entry: EntryTable;
  readonly meta: { name: string; value: string };
}

export interface RecordColumns {
  id: string;
  kind: string;
  version: number;
  created_at: string;
  changed_at: string;
  deleted_at: string | null;
  /** 1 while it is not deleted. */
  live: number;
  created_seq: number;
  changed_seq: number;
  /** Both absent while it is deleted. */
  code_space: string | null;
  code_key: string | null;
  sort_name: string;
  sort_code: string;
  status: string | null;
  words: string;
  lab_l: number | null;
  lab_a: number | null;
  lab_b: number | null;
  body: string;
}

export interface LinkColumns {
  from_id: string;
  role: string;
  to_id: string;
  to_kind: string;
  weak: number;
}

export interface GroupTable {
  seq: number;
  at: string;
  what: string;
  sort: string;
  root: number | null;
  by: string | null;
  key: string | null;
  state: string;
  head: number;
  records: number;
}

export interface EntryTable {
  seq: number;
  position: number;
  kind: string;
  record_id: string;
  before: string | null;
  after: string | null;
}
