import type {
  BookReads,
  BookRow,
  BookStore,
  BookWrites,
  IndexPlace,
  StoredQuery,
} from '../../src/book/ports.ts';
import { COLOUR_ROLES } from '../../src/book/ports.ts';
import type { JournalEntry, JournalGroup } from '../../src/domain/records/change.ts';
import type { BodyOf, BookKind, BookRecord } from '../../src/domain/records/record.ts';

interface Row extends BookRow {
  readonly changedSeq: number;
}

interface State {
  rows: Map<string, Row>;
  groups: Map<number, JournalGroup>;
  entries: Map<number, JournalEntry[]>;
}

const byCode = (one: string | number, other: string | number) =>
  one < other ? -1 : one > other ? 1 : 0;

const byRole = (one: { role: string; to: string }, other: { role: string; to: string }) =>
  byCode(one.role, other.role) || byCode(one.to, other.to);

/** The slow plain store, to compare an engine with: everything in maps, every query a loop. */
export function memoryBookStore(): BookStore {
  let state: State = { rows: new Map(), groups: new Map(), entries: new Map() };
  let queue: Promise<unknown> = Promise.resolve();
  const live = ({ record }: BookRow) => record.deletedAt === undefined;
  const copy = <T>(value: T): T => structuredClone(value);
  const sortedRows = () =>
    [...state.rows.values()].sort((a, b) => byCode(a.record.id, b.record.id));
  const sortedGroups = () => [...state.groups.values()].sort((a, b) => a.seq - b.seq);

  const reads: BookReads = {
    async get(id) {
      return copy(state.rows.get(id)?.record);
    },
    async getMany(ids) {
      const found = ids.flatMap((id) => state.rows.get(id)?.record ?? []);
      return new Map(found.map((record) => [record.id, copy(record)]));
    },
    async list(query) {
      return list(sortedRows(), query);
    },
    async usersOf(ids) {
      return sortedRows()
        .filter(live)
        .flatMap(({ record, facts }) =>
          facts.links
            .filter(({ to, weak }) => !weak && ids.includes(to))
            .map(({ to, role }) => ({
              fromId: record.id,
              fromKind: record.kind,
              toId: to,
              role,
            })),
        )
        .sort(
          (a, b) => byCode(a.toId, b.toId) || byCode(a.fromId, b.fromId) || byCode(a.role, b.role),
        );
    },
    async codeHolders(codes) {
      return sortedRows()
        .filter(live)
        .flatMap(({ record, facts: { code } }) =>
          code !== undefined && codes.some((c) => c.space === code.space && c.key === code.key)
            ? [{ ...code, id: record.id }]
            : [],
        );
    },
    async rows(afterId, limit, kind) {
      return copy(
        sortedRows()
          .filter(({ record }) => record.id > afterId && (kind ?? record.kind) === record.kind)
          .slice(0, limit)
          .map((row) => {
            const { code, ...rest } = row.facts;
            const links = [...rest.links].sort(byRole);
            const facts = { ...rest, links, tags: [...rest.tags].sort() };
            const answer = live(row) && code !== undefined ? { ...facts, code } : facts;
            return { record: row.record, facts: answer, createdSeq: row.createdSeq };
          }),
      );
    },
    async bodies<K extends BookKind>(kind: K, after: IndexPlace | undefined, limit: number) {
      return copy(
        sortedRows()
          .sort((one, other) => one.createdSeq - other.createdSeq)
          .filter((row) => live(row) && row.record.kind === kind)
          .map(({ record, createdSeq }) => ({
            id: record.id,
            createdSeq,
            body: record.body as BodyOf<K>,
          }))
          .filter(
            ({ id, createdSeq }) =>
              after === undefined ||
              createdSeq > after.createdSeq ||
              (createdSeq === after.createdSeq && id > after.id),
          )
          .slice(0, limit),
      );
    },
    async indexRows(isLive, after, limit) {
      return sortedRows()
        .sort((one, other) => one.createdSeq - other.createdSeq)
        .filter((row) => {
          if (live(row) !== isLive) return false;
          if (after === undefined || row.createdSeq > after.createdSeq) return true;
          return row.createdSeq === after.createdSeq && row.record.id > after.id;
        })
        .slice(0, limit)
        .map((row) => ({
          id: row.record.id,
          kind: row.record.kind,
          live: live(row),
          createdSeq: row.createdSeq,
          changedSeq: row.changedSeq,
          sortCode: row.facts.sortCode,
          sortName: row.facts.sortName,
          ...(row.facts.status === undefined ? {} : { status: row.facts.status }),
          words: row.facts.words,
          tags: [...row.facts.tags].sort(),
          ...(row.facts.lab === undefined ? {} : { lab: row.facts.lab }),
          links: row.facts.links
            .filter(({ role }) => COLOUR_ROLES.some((one) => one === role))
            .map(({ role, to }) => ({ role, to }))
            .sort(byRole),
        }));
    },
    async counts() {
      const counts = new Map<BookKind, { live: number; deleted: number }>();
      for (const row of state.rows.values()) {
        const of = counts.get(row.record.kind) ?? { live: 0, deleted: 0 };
        of[live(row) ? 'live' : 'deleted']++;
        counts.set(row.record.kind, of);
      }
      return counts;
    },
    async lastSeq() {
      return Math.max(0, ...state.groups.keys());
    },
    async group(seq) {
      return copy(state.groups.get(seq));
    },
    async groupByKey(key) {
      return copy(sortedGroups().find((group) => group.key === key));
    },
    async groups(from, limit) {
      const groups = sortedGroups();
      return 'after' in from
        ? groups.filter(({ seq }) => seq > from.after).slice(0, limit)
        : groups
            .filter(({ seq }) => seq < (from.before ?? Number.POSITIVE_INFINITY))
            .reverse()
            .slice(0, limit);
    },
    async undoable() {
      return sortedGroups().findLast((group) => group.state === 'done');
    },
    async redoable() {
      const undone = sortedGroups().filter((group) => group.state === 'undone');
      const last = undone.sort((a, b) => a.head - b.head).at(-1);
      if (last === undefined) return undefined;
      const later = sortedGroups().some((g) => g.sort === 'change' && g.seq > last.head);
      return later ? undefined : last;
    },
    async entries(seq) {
      return copy(state.entries.get(seq) ?? []);
    },
    async history(id, before, limit) {
      return copy(
        [...state.entries.values()]
          .flat()
          .filter((entry) => entry.id === id && entry.seq < (before ?? Number.POSITIVE_INFINITY))
          .sort((a, b) => b.seq - a.seq)
          .slice(0, limit),
      );
    },
  };

  const writes: BookWrites = {
    ...reads,
    async addGroup(group) {
      const seq = (await reads.lastSeq()) + 1;
      const done = group.sort === 'change' ? 'done' : 'settled';
      state.groups.set(seq, { ...group, seq, state: done, head: seq });
      return seq;
    },
    async write(seq, rows) {
      for (const { before, after, facts } of rows) {
        const createdSeq = state.rows.get(after.id)?.createdSeq ?? seq;
        const row = { record: copy(after), facts: copy(facts), createdSeq, changedSeq: seq };
        state.rows.set(after.id, row);
        const entry: JournalEntry = {
          seq,
          kind: after.kind,
          id: after.id,
          ...(before === undefined ? {} : { before: copy(before) }),
          after: copy(after),
        };
        state.entries.set(seq, [...(state.entries.get(seq) ?? []), entry]);
      }
    },
    async turn(root, turned, head) {
      state.groups.set(root, { ...state.groups.get(root)!, state: turned, head });
    },
    async erase(seq, ids) {
      for (const [of, entries] of state.entries) {
        if (!entries.some(({ id }) => ids.includes(id))) continue;
        const stripped = entries.map((entry) =>
          ids.includes(entry.id) ? { seq: of, kind: entry.kind, id: entry.id } : entry,
        );
        state.entries.set(of, stripped);
        const root = state.groups.get(of)?.root ?? of;
        state.groups.set(root, { ...state.groups.get(root)!, state: 'settled' });
      }
      const gone = sortedRows().filter(({ record }) => ids.includes(record.id));
      for (const { record } of gone) state.rows.delete(record.id);
      state.entries.set(
        seq,
        gone.map(({ record }) => ({ seq, kind: record.kind, id: record.id })),
      );
    },
  };

  return {
    ...reads,
    capabilities: { soleOwner: true, durable: false },
    transact(work) {
      const turn = queue.then(async () => {
        const { rows, groups, entries } = state;
        const before = { rows: new Map(rows), groups: new Map(groups), entries: new Map(entries) };
        try {
          return await work(writes);
        } catch (fault) {
          state = before;
          throw fault;
        }
      });
      queue = turn.catch(() => undefined);
      return turn;
    },
    async integrity() {
      return [];
    },
    async close() {},
  };
}

function list(rows: readonly Row[], query: StoredQuery): Awaited<ReturnType<BookReads['list']>> {
  const { kind, bin = false, status, tag, uses, sort, descending, limit, after } = query;
  const value = (row: Row) =>
    ({
      name: row.facts.sortName,
      code: row.facts.sortCode,
      changed: row.changedSeq,
      created: row.createdSeq,
    })[sort];
  const order = (a: { value: string | number; id: string }, b: typeof a) =>
    (byCode(a.value, b.value) || byCode(a.id, b.id)) * (descending ? -1 : 1);
  const found = rows
    .filter(({ record, facts }) => {
      if ((record.deletedAt !== undefined) !== bin) return false;
      if (kind !== undefined && record.kind !== kind) return false;
      if (status !== undefined && facts.status !== status) return false;
      if (tag !== undefined && !facts.tags.includes(tag)) return false;
      return (
        uses === undefined ||
        facts.links.some(({ to, role }) => to === uses.id && (uses.role ?? role) === role)
      );
    })
    .map((row) => ({ record: row.record as BookRecord, value: value(row), id: row.record.id }))
    .sort(order);
  const rest = after === undefined ? found : found.filter((one) => order(one, after) > 0);
  const shown = rest.slice(0, limit);
  const last = shown.at(-1);
  return {
    records: structuredClone(shown.map(({ record }) => record)),
    total: found.length,
    ...(rest.length > limit && last !== undefined
      ? { next: { value: last.value, id: last.id } }
      : {}),
  };
}
