import { changedRecord } from '../book/book.ts';
import { historyOf } from '../book/book-history.ts';
import { changeBook } from '../book/change-book.ts';
import { notInBook } from '../book/errors.ts';
import { listBook } from '../book/list-book.ts';
import { purgeDeleted } from '../book/purge-deleted.ts';
import { nearestInBook, searchBook } from '../book/search-book.ts';
import { stockOnHand } from '../book/stock-on-hand.ts';
import { titleOf } from '../domain/index-fields.ts';
import type { BookStep } from '../domain/records/change.ts';
import type { BookRecord } from '../domain/records/record.ts';
import type { ServerDependencies } from './dependencies.ts';
import { bookRead, type Etags } from './etag.ts';
import {
  type ApiReply,
  type HandledRequest,
  type Handlers,
  tagMatches,
  versionTag,
} from './handler.ts';
import { plainFault } from './problem-answers.ts';

type RecordName =
  | 'listRecords'
  | 'makeRecord'
  | 'getRecord'
  | 'putRecord'
  | 'binRecord'
  | 'restoreRecord'
  | 'recordHistory'
  | 'countRecords'
  | 'search'
  | 'nearest'
  | 'stock'
  | 'purgeDeleted';

export function recordHandlers({ book }: ServerDependencies, fresh: Etags): Handlers<RecordName> {
  const { store } = book.ports;

  async function move(
    verb: 'delete' | 'restore',
    id: string,
    asked: HandledRequest,
  ): Promise<ApiReply<'binRecord'>> {
    const version = versionSeen(asked);
    const current = await store.get(id);
    if (current === undefined) throw notInBook(id);
    const what = `${verb === 'delete' ? 'Deleted' : 'Restored'} ${titleOf(current)}`;
    return changed([{ do: verb, id, version }], what, asked);
  }

  async function changed(
    steps: readonly BookStep[],
    what: string,
    { by, key }: HandledRequest,
    status = 200,
  ): Promise<{ body: BookRecord; status: number; headers: Record<string, string> }> {
    const change = await changeBook(book, {
      what: what.slice(0, 300),
      steps,
      ...(by === undefined ? {} : { by }),
      ...(key === undefined ? {} : { key }),
    });
    const record = changedRecord(change);
    return { body: record, status, headers: { etag: versionTag(record.version) } };
  }

  return {
    listRecords: ({ query }, asked) =>
      fresh(asked, () => {
        const { uses, role, ...rest } = query;
        const named =
          uses === undefined ? {} : { uses: { id: uses, ...(role === undefined ? {} : { role }) } };
        return listBook(book, { ...rest, ...named });
      }),
    async makeRecord({ body }, asked) {
      const { kind, id, what, body: said } = body;
      const step = { do: 'put', kind, ...(id === undefined ? {} : { id }), body: said } as BookStep;
      const answer = await changed([step], what ?? `Saved ${title(kind, said)}`, asked, 201);
      const location = `/api/v1/records/${answer.body.id}`;
      return { ...answer, headers: { ...answer.headers, location } };
    },
    async getRecord({ params }, { request, reply }) {
      const record = await store.get(params.id);
      if (record === undefined) throw notInBook(params.id);
      const tag = versionTag(record.version);
      reply.header('etag', tag);
      if (tagMatches(request.headers['if-none-match'], tag)) {
        reply.code(304).send();
        return undefined;
      }
      return { body: record };
    },
    async putRecord({ params: { id }, body: { kind, body, what } }, asked) {
      const made = asked.request.headers['if-none-match']?.trim() === '*';
      const version = made ? {} : { version: versionSeen(asked) };
      const step = { do: 'put', kind, id, ...version, body } as BookStep;
      const said = what ?? `${made ? 'Saved' : 'Changed'} ${title(kind, body)}`;
      return changed([step], said, asked, made ? 201 : 200);
    },
    binRecord: ({ params }, asked) => move('delete', params.id, asked),
    restoreRecord: ({ params }, asked) => move('restore', params.id, asked),
    async recordHistory({ params, query: { before, limit } }) {
      const page = { limit, ...(before === undefined ? {} : { before }) };
      return { body: { steps: await historyOf(book, params.id, page) } };
    },
    countRecords: (_, asked) =>
      fresh(asked, async () => ({
        seq: await store.lastSeq(),
        counts: [...(await store.counts())].map(([kind, count]) => ({ kind, ...count })),
      })),
    search: ({ query }, asked) =>
      fresh(asked, async () => {
        await bookRead(book);
        const { kind, ...rest } = query;
        return searchBook(book, { ...rest, ...(kind === undefined ? {} : { kinds: kind }) });
      }),
    nearest: ({ query: { l, a, b, kind, ...rest } }, asked) =>
      fresh(asked, async () => {
        await bookRead(book);
        const kinds = kind === undefined ? {} : { kinds: kind };
        const near = await nearestInBook(book, { ...rest, ...kinds, lab: [l, a, b] });
        return {
          near: near.map(({ record, source, predicted, dE00 }) => ({
            record,
            source,
            predicted,
            dE00,
          })),
        };
      }),
    stock: ({ query }, asked) =>
      fresh(asked, async () => ({ stock: await stockOnHand(book, query.of) })),
    async purgeDeleted(_, { by }) {
      return { body: await purgeDeleted(book, by) };
    },
  };
}

/**
 * The version If-Match names.
 * Refuses: none named -> say-which-version
 */
function versionSeen({ request }: HandledRequest): number {
  const found = /^"(\d{1,10})"$/.exec(request.headers['if-match']?.trim() ?? '');
  if (found !== null) return Number(found[1]);
  throw plainFault(
    'say-which-version',
    'bad-input',
    'A record is changed only by one who says which version was seen.',
    'Send If-Match with the ETag of the record as you got it.',
  );
}

function title(kind: BookRecord['kind'], body: unknown): string {
  return titleOf({ kind, body } as BookRecord);
}
