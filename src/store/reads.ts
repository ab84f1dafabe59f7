import { type Kysely, sql } from 'kysely';
import {
  type BookReads,
  COLOUR_ROLES,
  type IndexPlace,
  type StoredQuery,
  type Use,
} from '../book/ports.ts';
import type { BodyOf, BookKind, BookRecord } from '../domain/records/record.ts';
import { entryFromRow, fromJson, groupFromRow, indexFieldsFromRow, recordFromRow } from './rows.ts';
import type { LinkColumns, Tables } from './schema.ts';

/** Ids in one question; engines bound the number of parameters. */
const AT_ONCE = 400;

const SORT_COLUMNS = {
  name: 'sort_name',
  code: 'sort_code',
  changed: 'changed_seq',
  created: 'created_seq',
} as const;

/** Reading a book through one connection, in the words SQLite and PostgreSQL share. */
export function readsOn(db: Kysely<Tables>): BookReads {
  const groups = () => db.selectFrom('journal_group').selectAll();
  return {
    async get(id) {
      const row = await db.selectFrom('record').selectAll().where('id', '=', id).executeTakeFirst();
      return row === undefined ? undefined : recordFromRow(row);
    },
    async getMany(ids) {
      const found = new Map<string, BookRecord>();
      for (const some of chunks([...new Set(ids)])) {
        const rows = await db.selectFrom('record').selectAll().where('id', 'in', some).execute();
        for (const row of rows) found.set(row.id, recordFromRow(row));
      }
      return found;
    },
    list: (query) => list(db, query),
    async usersOf(ids) {
      const uses: Use[] = [];
      for (const some of chunks([...new Set(ids)])) {
        const rows = await db
          .selectFrom('link')
          // SQLite keeps the order of a cross join; left to itself it reads every live record first.
          .crossJoin('record')
          .whereRef('record.id', '=', 'link.from_id')
          .select(['link.from_id', 'record.kind', 'link.to_id', 'link.role'])
          .where('link.to_id', 'in', some)
          .where('link.weak', '=', 0)
          .where('record.live', '=', 1)
          .orderBy('link.to_id')
          .orderBy('link.from_id')
          .orderBy('link.role')
          .execute();
        for (const row of rows) {
          const { from_id: fromId, kind, to_id: toId, role } = row;
          uses.push({ fromId, fromKind: kind as BookKind, toId, role });
        }
      }
      return uses;
    },
    async codeHolders(codes) {
      const holders = [];
      for (const space of new Set(codes.map((code) => code.space))) {
        const keys = codes.filter((code) => code.space === space).map(({ key }) => key);
        for (const some of chunks(keys)) {
          const rows = await db
            .selectFrom('record')
            .select(['code_key', 'id'])
            .where('code_space', '=', space)
            .where('code_key', 'in', some)
            .orderBy('code_key')
            .execute();
          for (const { code_key, id } of rows) holders.push({ space, key: code_key!, id });
        }
      }
      return holders;
    },
    async rows(afterId, limit, kind) {
      let query = db.selectFrom('record').selectAll().where('id', '>', afterId);
      if (kind !== undefined) query = query.where('kind', '=', kind);
      const rows = await query.orderBy('id').limit(limit).execute();
      const links = new Map<string, LinkColumns[]>();
      const tags = new Map<string, string[]>();
      for (const some of chunks(rows.map(({ id }) => id))) {
        const found = await db
          .selectFrom('link')
          .selectAll()
          .where('from_id', 'in', some)
          .orderBy('from_id')
          .orderBy('role')
          .orderBy('to_id')
          .execute();
        for (const link of found) pile(links, link.from_id, link);
        const tagged = await db
          .selectFrom('tag')
          .selectAll()
          .where('record_id', 'in', some)
          .orderBy('record_id')
          .orderBy('tag')
          .execute();
        for (const { record_id, tag } of tagged) pile(tags, record_id, tag);
      }
      return rows.map((row) => ({
        record: recordFromRow(row),
        facts: indexFieldsFromRow(row, links.get(row.id) ?? [], tags.get(row.id) ?? []),
        createdSeq: row.created_seq,
      }));
    },
    async bodies<K extends BookKind>(kind: K, after: IndexPlace | undefined, limit: number) {
      const some = db
        .selectFrom('record')
        .select(['id', 'created_seq', 'body'])
        .where('kind', '=', kind)
        .where('live', '=', 1);
      const rows = await (after === undefined
        ? some
        : some.where(({ eb, refTuple, tuple }) =>
            eb(refTuple('created_seq', 'id'), '>', tuple(after.createdSeq, after.id)),
          )
      )
        .orderBy('created_seq')
        .orderBy('id')
        .limit(limit)
        .execute();
      return rows.map(({ id, created_seq, body }) => ({
        id,
        createdSeq: created_seq,
        body: fromJson(body, id) as BodyOf<K>,
      }));
    },
    async indexRows(live, after, limit) {
      const page = () => {
        const some = db.selectFrom('record').where('live', '=', live ? 1 : 0);
        return (
          after === undefined
            ? some
            : some.where(({ eb, refTuple, tuple }) =>
                eb(refTuple('created_seq', 'id'), '>', tuple(after.createdSeq, after.id)),
              )
        )
          .orderBy('created_seq')
          .orderBy('id')
          .limit(limit);
      };
      const rows = await page()
        .select(['id', 'kind', 'live', 'created_seq', 'sort_code', 'sort_name', 'status', 'words'])
        .select(['changed_seq', 'lab_l', 'lab_a', 'lab_b'])
        .execute();
      const tagged = await db
        .selectFrom('tag')
        .selectAll()
        .where('record_id', 'in', page().select('id'))
        .execute();
      const tags = new Map<string, string[]>();
      for (const { record_id, tag } of tagged) pile(tags, record_id, tag);
      for (const some of tags.values()) some.sort();
      const found = await db
        .selectFrom('link')
        .select(['from_id', 'role', 'to_id'])
        .where('from_id', 'in', page().select('id'))
        .where('role', 'in', COLOUR_ROLES)
        .orderBy('from_id')
        .orderBy('role')
        .orderBy('to_id')
        .execute();
      const links = new Map<string, { role: string; to: string }[]>();
      for (const { from_id, role, to_id } of found) pile(links, from_id, { role, to: to_id });
      return rows.map((row) => ({
        id: row.id,
        kind: row.kind as BookKind,
        live: row.live === 1,
        createdSeq: row.created_seq,
        changedSeq: row.changed_seq,
        sortCode: row.sort_code,
        sortName: row.sort_name,
        ...(row.status === null ? {} : { status: row.status }),
        words: row.words,
        tags: tags.get(row.id) ?? [],
        ...(row.lab_l === null ? {} : { lab: [row.lab_l, row.lab_a!, row.lab_b!] as const }),
        links: links.get(row.id) ?? [],
      }));
    },
    async counts() {
      const rows = await db
        .selectFrom('record')
        .select(['kind', 'live', sql<number>`count(*)`.as('count')])
        .groupBy(['kind', 'live'])
        .execute();
      const counts = new Map<BookKind, { live: number; deleted: number }>();
      for (const { kind, live, count } of rows) {
        const of = counts.get(kind as BookKind) ?? { live: 0, deleted: 0 };
        of[live === 1 ? 'live' : 'deleted'] = Number(count);
        counts.set(kind as BookKind, of);
      }
      return counts;
    },
    async lastSeq() {
      const row = await db
        .selectFrom('journal_group')
        .select(({ fn }) => fn.max('seq').as('seq'))
        .executeTakeFirst();
      return row?.seq ?? 0;
    },
    async group(seq) {
      const row = await groups().where('seq', '=', seq).executeTakeFirst();
      return row === undefined ? undefined : groupFromRow(row);
    },
    async groupByKey(key) {
      const row = await groups().where('key', '=', key).executeTakeFirst();
      return row === undefined ? undefined : groupFromRow(row);
    },
    async groups(from, limit) {
      const query =
        'after' in from
          ? groups().where('seq', '>', from.after).orderBy('seq', 'asc')
          : groups()
              .where('seq', '<', from.before ?? Number.MAX_SAFE_INTEGER)
              .orderBy('seq', 'desc');
      return (await query.limit(limit).execute()).map(groupFromRow);
    },
    async undoable() {
      const row = await groups()
        .where('state', '=', 'done')
        .orderBy('seq', 'desc')
        .limit(1)
        .executeTakeFirst();
      return row === undefined ? undefined : groupFromRow(row);
    },
    async redoable() {
      const row = await groups()
        .where('state', '=', 'undone')
        .orderBy('head', 'desc')
        .limit(1)
        .executeTakeFirst();
      if (row === undefined) return undefined;
      const later = await groups()
        .where('sort', '=', 'change')
        .where('seq', '>', row.head)
        .limit(1)
        .executeTakeFirst();
      return later === undefined ? groupFromRow(row) : undefined;
    },
    async entries(seq) {
      const rows = await db
        .selectFrom('journal_entry')
        .selectAll()
        .where('seq', '=', seq)
        .orderBy('position')
        .execute();
      return rows.map(entryFromRow);
    },
    async history(id, before, limit) {
      const rows = await db
        .selectFrom('journal_entry')
        .selectAll()
        .where('record_id', '=', id)
        .where('seq', '<', before ?? Number.MAX_SAFE_INTEGER)
        .orderBy('seq', 'desc')
        .limit(limit)
        .execute();
      return rows.map(entryFromRow);
    },
  };
}

async function list(db: Kysely<Tables>, query: StoredQuery): ReturnType<BookReads['list']> {
  let some = db.selectFrom('record').where('record.live', '=', query.bin === true ? 0 : 1);
  if (query.kind !== undefined) some = some.where('record.kind', '=', query.kind);
  if (query.status !== undefined) some = some.where('record.status', '=', query.status);
  const { tag, uses } = query;
  if (tag !== undefined) {
    some = some.where('record.id', 'in', ({ selectFrom }) =>
      selectFrom('tag').select('tag.record_id').where('tag.tag', '=', tag),
    );
  }
  if (uses !== undefined) {
    some = some.where('record.id', 'in', ({ selectFrom }) => {
      const from = selectFrom('link').select('link.from_id').where('link.to_id', '=', uses.id);
      return uses.role === undefined ? from : from.where('link.role', '=', uses.role);
    });
  }
  const counted = await some.select(({ fn }) => fn.countAll().as('count')).executeTakeFirst();
  const column = SORT_COLUMNS[query.sort];
  const way = query.descending ? 'desc' : 'asc';
  let page = some.selectAll('record').orderBy(`record.${column}`, way).orderBy('record.id', way);
  if (query.after !== undefined) {
    const { value, id } = query.after;
    const ahead = query.descending ? '<' : '>';
    page = page.where(({ eb, refTuple, tuple }) =>
      eb(refTuple(`record.${column}`, 'record.id'), ahead, tuple(value, id)),
    );
  }
  const rows = await page.limit(query.limit + 1).execute();
  const shown = rows.slice(0, query.limit);
  const last = rows.length > query.limit ? shown.at(-1) : undefined;
  return {
    records: shown.map(recordFromRow),
    total: Number(counted?.count ?? 0),
    ...(last === undefined ? {} : { next: { value: last[column], id: last.id } }),
  };
}

export function chunks<T>(list: readonly T[], size = AT_ONCE): T[][] {
  const out: T[][] = [];
  for (let at = 0; at < list.length; at += size) out.push(list.slice(at, at + size));
  return out;
}

function pile<T>(piles: Map<string, T[]>, key: string, item: T): void {
  const pile = piles.get(key);
  if (pile === undefined) piles.set(key, [item]);
  else pile.push(item);
}
