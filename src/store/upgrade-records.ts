import type { Kysely } from 'kysely';
import { upgradedKind, upgradeRecord } from '../domain/upgrade-record.ts';

/** The columns this step reads, as they are while it runs. */
interface Tables {
  readonly record: { id: string; kind: string; body: string };
  readonly journal_entry: {
    seq: number;
    position: number;
    kind: string;
    before: string | null;
    after: string | null;
  };
}

/** Rows held in memory at once. */
const ROWS = 500;

/**
 * Gives every record today's names, in the journal too, so that changes of before can still be undone.
 * What is derived from records (links, tags, codes, words) is derived again after all steps.
 */
export async function upgradeRecords(db: Kysely<unknown>): Promise<void> {
  await db.schema.alterTable('record').renameColumn('binned_at', 'deleted_at').execute();
  const tables = db as Kysely<Tables>;
  await upgradeRows(tables);
  await upgradeJournal(tables);
}

async function upgradeRows(db: Kysely<Tables>): Promise<void> {
  for (let after = ''; ; ) {
    const rows = await db
      .selectFrom('record')
      .select(['id', 'kind', 'body'])
      .where('id', '>', after)
      .orderBy('id')
      .limit(ROWS)
      .execute();
    for (const { id, kind, body } of rows) {
      const { body: today } = upgradeRecord({ kind, body: JSON.parse(body) }) as { body: unknown };
      const next = { kind: upgradedKind(kind), body: JSON.stringify(today) };
      if (next.kind === kind && next.body === body) continue;
      await db.updateTable('record').set(next).where('id', '=', id).execute();
    }
    const last = rows.at(-1);
    if (last === undefined || rows.length < ROWS) return;
    after = last.id;
  }
}

async function upgradeJournal(db: Kysely<Tables>): Promise<void> {
  for (let from = { seq: 0, position: -1 }; ; ) {
    const { seq, position } = from;
    const rows = await db
      .selectFrom('journal_entry')
      .select(['seq', 'position', 'kind', 'before', 'after'])
      .where((e) =>
        e.or([e('seq', '>', seq), e.and([e('seq', '=', seq), e('position', '>', position)])]),
      )
      .orderBy('seq')
      .orderBy('position')
      .limit(ROWS)
      .execute();
    for (const row of rows) {
      const next = {
        kind: upgradedKind(row.kind),
        before: upgradedText(row.before),
        after: upgradedText(row.after),
      };
      await db
        .updateTable('journal_entry')
        .set(next)
        .where('seq', '=', row.seq)
        .where('position', '=', row.position)
        .execute();
    }
    const last = rows.at(-1);
    if (last === undefined || rows.length < ROWS) return;
    from = last;
  }
}

function upgradedText(text: string | null): string | null {
  return text === null ? null : JSON.stringify(upgradeRecord(JSON.parse(text)));
}
