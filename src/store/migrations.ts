import type { Kysely } from 'kysely';
import { upgradeRecords } from './upgrade-records.ts';

export interface Migration {
  readonly name: string;
  /** Runs inside the one transaction of all; nothing of it is seen before the last is through. */
  up(db: Kysely<unknown>): Promise<void>;
}

/**
 * From nothing to the book of today, one step a line, never edited once a book was made with it.
 * A step may use only what SQLite and PostgreSQL share.
 */
export const MIGRATIONS: readonly Migration[] = [
  { name: 'records and journal', up: recordsAndJournal },
  { name: 'changes sent twice are done once', up: keysOfChanges },
  { name: 'records by the names of version 0.2', up: upgradeRecords },
];

async function recordsAndJournal(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('meta')
    .addColumn('name', 'text', (c) => c.primaryKey())
    .addColumn('value', 'text', (c) => c.notNull())
    .execute();
  await db.schema
    .createTable('record')
    .addColumn('id', 'text', (c) => c.primaryKey())
    .addColumn('kind', 'text', (c) => c.notNull())
    .addColumn('version', 'integer', (c) => c.notNull())
    .addColumn('created_at', 'text', (c) => c.notNull())
    .addColumn('changed_at', 'text', (c) => c.notNull())
    .addColumn('binned_at', 'text')
    .addColumn('live', 'integer', (c) => c.notNull())
    .addColumn('created_seq', 'integer', (c) => c.notNull())
    .addColumn('changed_seq', 'integer', (c) => c.notNull())
    .addColumn('code_space', 'text')
    .addColumn('code_key', 'text')
    .addColumn('sort_name', 'text', (c) => c.notNull())
    .addColumn('sort_code', 'text', (c) => c.notNull())
    .addColumn('status', 'text')
    .addColumn('words', 'text', (c) => c.notNull())
    .addColumn('lab_l', 'double precision')
    .addColumn('lab_a', 'double precision')
    .addColumn('lab_b', 'double precision')
    .addColumn('body', 'text', (c) => c.notNull())
    .execute();
  // Absent codes are distinct, so only live records that have one are held to it.
  await db.schema
    .createIndex('record_code')
    .unique()
    .on('record')
    .columns(['code_space', 'code_key'])
    .execute();
  // Lets records be counted by what links and tags say, without reading them.
  await db.schema
    .createIndex('record_life')
    .on('record')
    .columns(['id', 'kind', 'live', 'status'])
    .execute();
  for (const by of ['sort_name', 'sort_code', 'changed_seq', 'created_seq']) {
    await db.schema
      .createIndex(`record_by_${by}`)
      .on('record')
      .columns(['kind', 'live', by, 'id'])
      .execute();
    await db.schema
      .createIndex(`record_all_by_${by}`)
      .on('record')
      .columns(['live', by, 'id'])
      .execute();
  }
  await db.schema
    .createTable('link')
    .addColumn('from_id', 'text', (c) => c.notNull().references('record.id').onDelete('cascade'))
    .addColumn('role', 'text', (c) => c.notNull())
    .addColumn('to_id', 'text', (c) => c.notNull())
    .addColumn('to_kind', 'text', (c) => c.notNull())
    .addColumn('weak', 'integer', (c) => c.notNull())
    .addPrimaryKeyConstraint('link_key', ['from_id', 'role', 'to_id'])
    .execute();
  await db.schema.createIndex('link_to').on('link').columns(['to_id', 'role', 'from_id']).execute();
  await db.schema
    .createTable('tag')
    .addColumn('record_id', 'text', (c) => c.notNull().references('record.id').onDelete('cascade'))
    .addColumn('tag', 'text', (c) => c.notNull())
    .addPrimaryKeyConstraint('tag_key', ['tag', 'record_id'])
    .execute();
  await db.schema.createIndex('tag_of').on('tag').column('record_id').execute();
  await db.schema
    .createTable('journal_group')
    .addColumn('seq', 'integer', (c) => c.primaryKey())
    .addColumn('at', 'text', (c) => c.notNull())
    .addColumn('what', 'text', (c) => c.notNull())
    .addColumn('sort', 'text', (c) => c.notNull())
    .addColumn('root', 'integer')
    .addColumn('by', 'text')
    .addColumn('state', 'text', (c) => c.notNull())
    .addColumn('head', 'integer', (c) => c.notNull())
    .addColumn('records', 'integer', (c) => c.notNull())
    .execute();
  await db.schema
    .createIndex('group_state')
    .on('journal_group')
    .columns(['state', 'head'])
    .execute();
  await db.schema
    .createTable('journal_entry')
    .addColumn('seq', 'integer', (c) => c.notNull().references('journal_group.seq'))
    .addColumn('position', 'integer', (c) => c.notNull())
    .addColumn('kind', 'text', (c) => c.notNull())
    .addColumn('record_id', 'text', (c) => c.notNull())
    .addColumn('before', 'text')
    .addColumn('after', 'text')
    .addPrimaryKeyConstraint('entry_key', ['seq', 'position'])
    .execute();
  await db.schema
    .createIndex('entry_of')
    .on('journal_entry')
    .columns(['record_id', 'seq'])
    .execute();
}

async function keysOfChanges(db: Kysely<unknown>): Promise<void> {
  await db.schema.alterTable('journal_group').addColumn('key', 'text').execute();
  await db.schema.createIndex('group_key').unique().on('journal_group').column('key').execute();
}
