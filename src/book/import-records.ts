import { AppError } from '../core/errors.ts';
import { itemAt } from '../core/numeric/pairs.ts';
import { canonicalJson, sha256Of } from '../domain/canonical-json.ts';
import { titleOf } from '../domain/index-fields.ts';
import type { BookRecord } from '../domain/records/record.ts';
import type { Book, Changed } from './book.ts';
import { commitRows, type RowChange } from './commit-rows.ts';
import { withFiles } from './save-file.ts';

export interface ImportCall {
  readonly records: readonly BookRecord[];
  /** Bytes that photos and clay models among them name, each with the ending it is kept under. */
  readonly files: readonly { readonly bytes: Uint8Array; readonly ending: string }[];
  readonly what: string;
  /** Where the book has a record of the same id that says something else: theirs, as a newer version. */
  readonly replace?: boolean;
  readonly by?: string;
}

export interface Imported {
  /** Absent where there was nothing to change. */
  readonly changed?: Changed;
  /** Not in the book before. */
  readonly fresh: number;
  readonly replaced: number;
  /** In the book already, word for word. */
  readonly same: number;
}

/**
 * Takes records of an export into a book as they are, with their ids, versions and moments: all or none,
 * in one change that can be undone.
 * Refuses: an id twice, one that the book has with another saying -> import-clash (conflict); a photo or
 *          clay file whose bytes are neither here nor there -> file-missing; what `commitRows` refuses
 * Holds:   taken into an empty book, the book's export is the export that was taken
 */
export async function importRecords(book: Book, call: ImportCall): Promise<Imported> {
  const { records, files, what, replace = false, by } = call;
  const { store, nowEpochMs } = book.ports;
  refuseTwins(records);
  await refuseMissing(book, records, new Set(files.map(({ bytes }) => sha256Of(bytes))));
  return withFiles(book, files, async () => {
    const done = await store.transact(async (writes) => {
      const current = await writes.getMany(records.map(({ id }) => id));
      const changes: RowChange[] = [];
      let same = 0;
      let fresh = 0;
      const clashes: BookRecord[] = [];
      const at = new Date(nowEpochMs()).toISOString();
      for (const record of records) {
        const before = current.get(record.id);
        if (before === undefined) {
          fresh++;
          changes.push({ before, after: record });
        } else if (saysTheSame(before, record)) same++;
        else if (!replace || before.kind !== record.kind) clashes.push(before);
        else {
          const version = Math.max(before.version, record.version) + 1;
          changes.push({ before, after: { ...record, version, changedAt: at } });
        }
      }
      if (clashes.length > 0) throw clash(clashes, replace);
      const counts = { fresh, same, replaced: changes.length - fresh };
      if (changes.length === 0) return { counts };
      const seq = await writes.addGroup({
        at,
        what,
        sort: 'change',
        records: changes.length,
        ...(by === undefined ? {} : { by }),
      });
      const rows = await commitRows(writes, seq, changes);
      return { counts, rows, group: (await writes.group(seq))! };
    });
    const { counts, group, rows } = done;
    if (group === undefined || rows === undefined) return counts;
    book.tell({ group, rows, gone: [] });
    const changed = { group, records: rows.map(({ after }) => after), repeated: false };
    return { ...counts, changed };
  });
}

/** What taking records in would do, without doing any of it. */
export async function lookAtRecords(
  book: Book,
  records: readonly BookRecord[],
): Promise<{ readonly fresh: number; readonly same: number; readonly otherwise: number }> {
  const current = await book.ports.store.getMany(records.map(({ id }) => id));
  let [fresh, same, otherwise] = [0, 0, 0];
  for (const record of records) {
    const before = current.get(record.id);
    if (before === undefined) fresh++;
    else if (saysTheSame(before, record)) same++;
    else otherwise++;
  }
  return { fresh, same, otherwise };
}

function saysTheSame(one: BookRecord, other: BookRecord): boolean {
  return (
    one.kind === other.kind &&
    (one.deletedAt === undefined) === (other.deletedAt === undefined) &&
    canonicalJson(one.body) === canonicalJson(other.body)
  );
}

function refuseTwins(records: readonly BookRecord[]): void {
  const seen = new Set<string>();
  for (const { id } of records) {
    if (seen.has(id)) {
      throw new AppError({
        code: 'import-clash',
        kind: 'conflict',
        detail: `${id} stands twice in what is to be taken in.`,
        hint: 'Nothing was taken. Leave one of the two out.',
      });
    }
    seen.add(id);
  }
}

async function refuseMissing(
  book: Book,
  records: readonly BookRecord[],
  coming: ReadonlySet<string>,
): Promise<void> {
  const kept = new Set(await book.ports.files.list());
  const lacking = records.filter(
    (record) =>
      (record.kind === 'photo' || record.kind === 'clay-model') &&
      !coming.has(record.body.sha256) &&
      !kept.has(record.body.sha256),
  );
  if (lacking.length === 0) return;
  throw new AppError({
    code: 'file-missing',
    kind: 'not-found',
    detail: `The file of ${titleOf(itemAt(lacking, 0))} is not here.${lacking.length === 1 ? '' : ` ${lacking.length - 1} more files are missing too.`}`,
    hint: 'Nothing was imported. A JSON file has no photos and no clay model in it: import the folder that "kneadwell export" writes, or restore a backup, which has everything.',
    more: { ids: lacking.slice(0, 100).map(({ id }) => id) },
  });
}

function clash(clashes: readonly BookRecord[], replace: boolean): AppError {
  const first = titleOf(itemAt(clashes, 0));
  const more = clashes.length === 1 ? '' : ` and ${clashes.length - 1} more`;
  return new AppError({
    code: 'import-clash',
    kind: 'conflict',
    detail: `The book has ${first}${more} already, saying something else.`,
    hint: replace
      ? 'Nothing was taken. A record cannot become one of another kind.'
      : 'Nothing was taken. Say --replace to put what is taken in over it, which can be undone.',
    more: { ids: clashes.slice(0, 100).map(({ id }) => id) },
  });
}
