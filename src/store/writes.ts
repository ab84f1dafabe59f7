import type { Kysely } from 'kysely';
import type { BookWrites } from '../book/ports.ts';
import type { IndexFields } from '../domain/index-fields.ts';
import { chunks, readsOn } from './reads.ts';
import { linkRows, rowFromRecord } from './rows.ts';
import type { RecordColumns, Tables } from './schema.ts';

/** Rows in one statement: 20 columns a record, within what engines take as parameters. */
const ROWS = 100;

/** Changing a book through one connection; the caller opens and closes the transaction. */
export function writesOn(db: Kysely<Tables>): BookWrites {
  const reads = readsOn(db);
  return {
    ...reads,
    async addGroup(group) {
      const seq = (await reads.lastSeq()) + 1;
      const { at, what, sort, root, by, key, records } = group;
      await db
        .insertInto('journal_group')
        .values({
          seq,
          at,
          what,
          sort,
          root: root ?? null,
          by: by ?? null,
          key: key ?? null,
          state: sort === 'change' ? 'done' : 'settled',
          head: seq,
          records,
        })
        .execute();
      return seq;
    },
    async write(seq, rows) {
      const ids = rows.map(({ after }) => after.id);
      const created = await createdSeqs(db, ids);
      // Codes are cleared first, so that two records can swap their codes.
      await letGo(db, [...created.keys()]);
      const records = rows.map(({ after, facts }) =>
        rowFromRecord(after, facts, created.get(after.id) ?? seq, seq),
      );
      await putRecords(db, records);
      await putDerived(
        db,
        rows.map(({ after, facts }) => ({ id: after.id, facts })),
      );
      const entries = rows.map(({ before, after }, position) => ({
        seq,
        position,
        kind: after.kind,
        record_id: after.id,
        before: before === undefined ? null : JSON.stringify(before),
        after: JSON.stringify(after),
      }));
      for (const some of chunks(entries, ROWS)) {
        await db.insertInto('journal_entry').values(some).execute();
      }
    },
    async turn(root, state, head) {
      await db.updateTable('journal_group').set({ state, head }).where('seq', '=', root).execute();
    },
    async erase(seq, ids) {
      let position = 0;
      for (const some of chunks(ids, ROWS)) {
        const kinds = await db
          .selectFrom('record')
          .select(['id', 'kind'])
          .where('id', 'in', some)
          .orderBy('id')
          .execute();
        const touched = await db
          .selectFrom('journal_entry')
          .innerJoin('journal_group', 'journal_group.seq', 'journal_entry.seq')
          .select(['journal_group.seq', 'journal_group.root'])
          .distinct()
          .where('journal_entry.record_id', 'in', some)
          .execute();
        const roots = [...new Set(touched.map((group) => group.root ?? group.seq))];
        for (const part of chunks(roots)) {
          await db
            .updateTable('journal_group')
            .set({ state: 'settled' })
            .where('seq', 'in', part)
            .execute();
        }
        await db
          .updateTable('journal_entry')
          .set({ before: null, after: null })
          .where('record_id', 'in', some)
          .execute();
        await db.deleteFrom('record').where('id', 'in', some).execute();
        const entries = kinds.map(({ id, kind }) => ({
          seq,
          position: position++,
          kind,
          record_id: id,
          before: null,
          after: null,
        }));
        if (entries.length > 0) await db.insertInto('journal_entry').values(entries).execute();
      }
    },
  };
}

async function createdSeqs(
  db: Kysely<Tables>,
  ids: readonly string[],
): Promise<ReadonlyMap<string, number>> {
  const found = new Map<string, number>();
  for (const some of chunks(ids)) {
    const rows = await db
      .selectFrom('record')
      .select(['id', 'created_seq'])
      .where('id', 'in', some)
      .execute();
    for (const { id, created_seq } of rows) found.set(id, created_seq);
  }
  return found;
}

async function letGo(db: Kysely<Tables>, ids: readonly string[]): Promise<void> {
  for (const some of chunks(ids)) {
    await db
      .updateTable('record')
      .set({ code_space: null, code_key: null })
      .where('id', 'in', some)
      .execute();
    await db.deleteFrom('link').where('from_id', 'in', some).execute();
    await db.deleteFrom('tag').where('record_id', 'in', some).execute();
  }
}

async function putRecords(db: Kysely<Tables>, records: readonly RecordColumns[]): Promise<void> {
  for (const some of chunks(records, ROWS)) {
    await db
      .insertInto('record')
      .values(some)
      .onConflict((conflict) =>
        conflict.column('id').doUpdateSet(({ ref }) => {
          const columns = Object.keys(some[0] ?? {}).filter((column) => column !== 'id');
          return Object.fromEntries(
            columns.map((column) => [column, ref(`excluded.${column as 'kind'}`)]),
          );
        }),
      )
      .execute();
  }
}

async function putDerived(
  db: Kysely<Tables>,
  rows: readonly { readonly id: string; readonly facts: IndexFields }[],
): Promise<void> {
  const links = rows.flatMap(({ id, facts }) => linkRows(id, facts));
  for (const some of chunks(links, ROWS)) await db.insertInto('link').values(some).execute();
  const tags = rows.flatMap(({ id, facts }) => facts.tags.map((tag) => ({ record_id: id, tag })));
  for (const some of chunks(tags, ROWS)) await db.insertInto('tag').values(some).execute();
}

/** Derives the contents of a record's row and its neighbours again, without a change of the record. */
export async function deriveAgain(
  db: Kysely<Tables>,
  indexFieldsOf: (record: Parameters<typeof rowFromRecord>[0]) => IndexFields,
): Promise<void> {
  const reads = readsOn(db);
  for (let after: string | undefined = ''; after !== undefined; ) {
    const page: readonly { record: Parameters<typeof rowFromRecord>[0]; createdSeq: number }[] =
      await reads.rows(after, ROWS);
    const ids = page.map(({ record }) => record.id);
    const seqs = new Map<string, number>();
    if (ids.length > 0) {
      const rows = await db
        .selectFrom('record')
        .select(['id', 'changed_seq'])
        .where('id', 'in', ids)
        .execute();
      for (const { id, changed_seq } of rows) seqs.set(id, changed_seq);
    }
    await letGo(db, ids);
    const rows = page.map(({ record, createdSeq }) => ({
      id: record.id,
      facts: indexFieldsOf(record),
      record,
      createdSeq,
    }));
    if (rows.length > 0) {
      await putRecords(
        db,
        rows.map((row) => rowFromRecord(row.record, row.facts, row.createdSeq, seqs.get(row.id)!)),
      );
      await putDerived(db, rows);
    }
    after = page.length < ROWS ? undefined : ids[ids.length - 1];
  }
}
