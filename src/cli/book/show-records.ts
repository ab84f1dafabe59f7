import { allAt, type BookService } from '../../book/book-service.ts';
import { findRecord } from '../../book/find-record.ts';
import type { SORTS } from '../../book/ports.ts';
import { resolverFor } from '../../domain/mix-graph-of-book.ts';
import { ofKind } from '../../domain/records/of-kind.ts';
import type { BookRecord, RecordOf } from '../../domain/records/record.ts';
import { wishesInWords, wishText } from '../../domain/wish-list.ts';
import type { BookShell } from '../book-shell.ts';
import { unreadableCall } from '../options.ts';
import { plain } from '../terminal-output.ts';
import { type BookCall, folderOf, json, noKind } from './call.ts';
import { bookKindFrom, bookText, listText, stockText } from './show-list.ts';
import { changeLine, namesFor, namesOfTheirs, recordText } from './show-record.ts';

export async function countsAnswer(call: BookCall, shell: BookShell): Promise<string> {
  const folder = folderOf(call, shell);
  return shell.books.throughService(folder, false, async (service) => {
    const counts = await service.counts();
    const changes = await service.changes(5);
    return call.json ? json({ folder, ...counts, changes }) : bookText(folder, counts, changes);
  });
}

export async function showAnswer(
  call: BookCall<{ history: boolean }>,
  shell: BookShell,
): Promise<string> {
  const words = call.operands.join(' ');
  if (words.trim() === '')
    throw unreadableCall('Which record? Give a code, a name or an id.', 'show');
  return shell.books.throughService(folderOf(call, shell), false, async (service) => {
    const record = await findRecord(service, words);
    const history = call.options.history ? await service.history(record.id, 100) : undefined;
    const resolved = record.kind === 'mix' ? await blocksOf(service, record) : undefined;
    if (call.json) {
      return json({
        record,
        ...resolved,
        ...(history === undefined ? {} : { history: history.map(({ group }) => group) }),
      });
    }
    const ids = resolved?.blocks?.map(({ id }) => id) ?? [];
    const names = await namesFor(service, record, ids);
    return recordText({
      record,
      names,
      ...resolved,
      ...(history === undefined ? {} : { history }),
    });
  });
}

interface ListOptions {
  readonly top: number;
  readonly sort: (typeof SORTS)[number];
  readonly search?: string;
  readonly tag?: string;
  readonly status?: string;
  readonly deleted: boolean;
}

export async function listAnswer(call: BookCall<ListOptions>, shell: BookShell): Promise<string> {
  const [word, ...more] = call.operands;
  if (more.length > 0) throw unreadableCall('One kind at a time.', 'list');
  const { top, sort, search, tag, status, deleted } = call.options;
  return shell.books.throughService(folderOf(call, shell), false, async (service) => {
    if (word === 'changes') {
      const changes = await service.changes(top);
      return call.json ? json({ changes }) : `${changes.map(changeLine).join('\n')}\n`;
    }
    if (word === 'stock') return stockAt(service, call.json);
    const kind = word === undefined ? undefined : bookKindFrom(word);
    if (word !== undefined && kind === undefined) throw noKind(word, 'list');
    if (search !== undefined && (tag !== undefined || status !== undefined || deleted)) {
      throw unreadableCall('--search goes alone, without --tag, --status and --deleted.', 'list');
    }
    const { records, total } =
      search !== undefined
        ? await service.search({
            text: search,
            limit: Math.min(top, 200),
            ...(kind === undefined ? {} : { kinds: [kind] }),
          })
        : await service.list({
            sort,
            descending: sort === 'changed' || sort === 'created',
            limit: top,
            ...(kind === undefined ? {} : { kind }),
            ...(tag === undefined ? {} : { tag }),
            ...(status === undefined ? {} : { status }),
            ...(deleted ? { bin: true } : {}),
          });
    if (call.json) return json({ records, total });
    if (kind === 'wish' && !deleted) {
      return wishesAnswer(service, ofKind(records, kind), total);
    }
    return listText(records, total, await namesOfTheirs(service, records));
  });
}

/** The wish list as text that can be sent. */
async function wishesAnswer(
  service: BookService,
  wishes: readonly RecordOf<'wish'>[],
  total: number,
): Promise<string> {
  if (wishes.length === 0) return 'The wish list is empty.\n';
  const lines = await allAt(service, 'line');
  const named = wishesInWords(wishes, lines, await allAt(service, 'block'));
  const more = total > wishes.length ? `\n${wishes.length} of ${total} shown.\n` : '';
  return `${wishText(named).split('\n').map(plain).join('\n')}${more}`;
}

async function stockAt(service: BookService, asJson: boolean): Promise<string> {
  const stock = await service.stock();
  if (asJson) return json({ stock });
  const names = new Map<string, string>();
  for (const kind of ['block', 'powder', 'mix'] as const) {
    for (const { id, body } of await allAt(service, kind))
      names.set(id, body.name ?? body.code ?? id);
  }
  return stockText(stock.map((one) => ({ ...one, name: names.get(one.of.id) ?? one.of.id })));
}

/** What a mix is made of in the end. */
async function blocksOf(service: BookService, { id }: BookRecord) {
  const { resolver } = await resolverFor(
    async (ids) => {
      const found = await Promise.all(ids.map((one) => service.get(one)));
      return new Map(
        found.flatMap((record) => (record === undefined ? [] : [[record.id, record]])),
      );
    },
    [id],
  );
  const found = resolver.resolve(id);
  if (found.status !== 'resolved') return { says: found.says };
  const shares = found.blocks.map((block) => ({ id: block.id, share: block.share }));
  return { blocks: shares.toSorted((one, other) => other.share - one.share) };
}
