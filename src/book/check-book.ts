import { itemAt } from '../core/numeric/pairs.ts';
import { canonicalJson } from '../domain/canonical-json.ts';
import { indexFieldsOf, titleOf } from '../domain/index-fields.ts';
import { bookRecordSchema } from '../domain/records/record.ts';
import type { Book } from './book.ts';
import type { BookRow } from './ports.ts';

export interface BookCheck {
  readonly records: number;
  readonly files: number;
  /** What is wrong, a sentence each; nothing when the book is sound. */
  readonly troubles: readonly string[];
  /** Kept files that no record names: a crash between the two, harmless. */
  readonly looseFiles: readonly string[];
}

const PAGE = 500;
/** Troubles named at most; more of them say nothing new. */
const MOST_TROUBLES = 100;

/**
 * Looks through a whole book: the engine's own check, every record against its shape, what is derived
 * against the record, every need against what is there, versions against the journal, every kept file
 * against its checksum.
 */
export async function checkBook(book: Book): Promise<BookCheck> {
  const { store, files } = book.ports;
  const troubles = [...(await store.integrity())];
  const named = new Map<string, string>();
  let records = 0;
  for (let after: string | undefined = ''; after !== undefined; ) {
    const rows: readonly BookRow[] = await store.rows(after, PAGE);
    records += rows.length;
    for (const row of rows) {
      troubles.push(...checkRow(row));
      const { record } = row;
      if (record.kind === 'photo' || record.kind === 'clay-model') {
        named.set(record.body.sha256, titleOf(record));
      }
      const [newest] = await store.history(record.id, undefined, 1);
      if (canonicalJson(newest?.after) !== canonicalJson(record)) {
        troubles.push(`${titleOf(record)} (${record.id}) is not as the journal left it.`);
      }
    }
    troubles.push(...(await checkNeeds(book, rows)));
    after = rows.length < PAGE ? undefined : rows.at(-1)?.record.id;
  }
  const kept = await files.list();
  const there = new Set(kept);
  for (const [sha256, title] of named) {
    if (!there.has(sha256)) troubles.push(`The file of ${title} is missing (${sha256}).`);
    else {
      try {
        await files.get(sha256);
      } catch (fault) {
        troubles.push(fault instanceof Error ? fault.message : String(fault));
      }
    }
  }
  return {
    records,
    files: kept.length,
    troubles: troubles.slice(0, MOST_TROUBLES),
    looseFiles: kept.filter((sha256) => !named.has(sha256)),
  };
}

function checkRow({ record, facts }: BookRow): readonly string[] {
  const read = bookRecordSchema.safeParse(record);
  if (!read.success) {
    const { path, message } = itemAt(read.error.issues, 0);
    return [`${record.kind} ${record.id} does not fit at ${path.join('.')}: ${message}.`];
  }
  const derived = indexFieldsOf(record);
  const { code, ...rest } = derived;
  const expected = record.deletedAt === undefined ? derived : rest;
  const plain = (value: typeof facts) =>
    canonicalJson({
      ...value,
      tags: [...value.tags].sort(),
      links: value.links.map((link) => canonicalJson(link)).sort(),
    });
  return plain(expected) === plain(facts)
    ? []
    : [`What is derived from ${titleOf(record)} (${record.id}) does not fit it.`];
}

async function checkNeeds(book: Book, rows: readonly BookRow[]): Promise<readonly string[]> {
  const live = rows.filter(({ record }) => record.deletedAt === undefined);
  const wanted = live.flatMap(({ facts }) => facts.links.filter(({ weak }) => !weak));
  const found = await book.ports.store.getMany(wanted.map(({ to }) => to));
  return live.flatMap(({ record, facts }) =>
    facts.links
      .filter(({ to, weak }) => !weak && found.get(to)?.deletedAt !== undefined)
      .concat(facts.links.filter(({ to, weak }) => !weak && !found.has(to)))
      .map(
        ({ to, role }) => `${titleOf(record)} (${record.id}) needs ${to} (${role}), which is gone.`,
      ),
  );
}
