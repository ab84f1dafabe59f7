import { handlingNotes, sharesByLine } from '../domain/handling-notes.ts';
import { ofKind } from '../domain/records/of-kind.ts';
import type { BookKind, RecordOf } from '../domain/records/record.ts';
import type { BakeSubject } from '../verbs/bake.ts';
import type { HoldSubject } from '../verbs/hold.ts';
import { packetHeatOf, runOfOven } from '../verbs/packet-heat.ts';
import { allRecords } from './all-records.ts';
import type { Book } from './book.ts';

/** Every bend test of a book with the names of its lines, and how its mixes handled. */
export async function bendTestsOfBook(book: Book): Promise<HoldSubject> {
  const lines = await live(book, 'line');
  const names = new Map(lines.map(({ id, body }) => [id, body.name]));
  const tests = await live(book, 'bend-test');
  const notes = await live(book, 'note');
  const shares = sharesByLine({
    blocks: await live(book, 'block'),
    lines,
    mixes: await live(book, 'mix'),
  });
  return {
    handling: handlingNotes(notes, shares),
    tests: tests.map(({ body }) => {
      const other = names.get(body.otherLineId ?? '');
      return {
        strong: names.get(body.strongLineId) ?? body.strongLineId,
        ...(other === undefined ? {} : { other }),
        body,
      };
    }),
  };
}

/** What the packets of a book's lines say, and its checks of ovens. */
export async function bakingOfBook(book: Book): Promise<BakeSubject> {
  const lines = await live(book, 'line');
  const checks = await live(book, 'oven-check');
  return {
    lines: lines.map(({ body }) => packetHeatOf(body)),
    ovens: checks.map(({ body }) => runOfOven(body)),
  };
}

async function live<K extends BookKind>(
  { ports: { store } }: Book,
  kind: K,
): Promise<readonly RecordOf<K>[]> {
  const records = ofKind(await allRecords(store, kind), kind);
  return records.filter(({ deletedAt }) => deletedAt === undefined);
}
