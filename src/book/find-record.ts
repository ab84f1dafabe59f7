import { AppError } from '../core/errors.ts';
import { clayKey } from '../core/notation/clay-name.ts';
import { codeKey } from '../core/notation/codes.ts';
import { titleOf } from '../domain/index-fields.ts';
import type { BookKind, BookRecord } from '../domain/records/record.ts';
import type { BookService } from './book-service.ts';

/** How many records a question "which one" names. */
const NAMED = 8;
const LOOKED_AT = 100;

/**
 * Finds the one record the user's words mean: by id, else by code, else by name, else as the only search result.
 * Refuses: none -> not-in-book (not-found); several -> which-one (bad-input), with their ids
 */
export async function findRecord<K extends BookKind = BookKind>(
  service: Pick<BookService, 'get' | 'search'>,
  words: string,
  kinds?: readonly K[],
): Promise<Extract<BookRecord, { kind: K }>> {
  const said = words.trim();
  const wanted: readonly string[] | undefined = kinds;
  const fits = (record: BookRecord): record is Extract<BookRecord, { kind: K }> =>
    wanted?.includes(record.kind) ?? true;
  if (/^[a-z0-9-]{1,80}$/.test(said)) {
    const named = await service.get(said);
    if (named !== undefined && fits(named)) return named;
  }
  if (said === '') throw notFound(words, kinds);
  const look = async (text: string) => {
    const query = { text: text.slice(0, 500), limit: LOOKED_AT };
    const asked = { ...query, ...(kinds === undefined ? {} : { kinds }) };
    return (await service.search(asked)).records.filter(fits);
  };
  let hits = await look(said);
  // `K 7` is the code K7, and no two words.
  if (hits.length === 0 && /\s/.test(said)) hits = await look(said.replace(/\s+/g, ''));
  const byCode = hits.filter(({ body }) => 'code' in body && sameCode(body.code, said));
  const byName = hits.filter((record) => nameOf(record) === clayKey(said));
  // A mix and the tile of it may bear one code; the mix is what is meant.
  const first = [byCode.filter(({ kind }) => kind !== 'tile'), byCode, byName, hits].find(
    (list) => list.length > 0,
  );
  if (first === undefined) throw notFound(words, kinds);
  const [only, other] = first;
  if (only !== undefined && other === undefined) return only;
  const some = first.slice(0, NAMED).map((record) => `${titleOf(record)} (${record.id})`);
  const more = first.length > NAMED ? ` and ${first.length - NAMED} more` : '';
  throw new AppError({
    code: 'which-one',
    kind: 'bad-input',
    detail: `"${said.slice(0, 80)}" may mean ${some.join(', ')}${more}.`,
    hint: 'Name one by what stands in brackets.',
    more: { ids: first.map(({ id }) => id) },
  });
}

function sameCode(code: string | undefined, said: string): boolean {
  return code !== undefined && codeKey(code) === codeKey(said);
}

function nameOf({ kind, body }: BookRecord): string | undefined {
  if (kind === 'box') return clayKey(body.lid);
  const name = 'name' in body ? body.name : undefined;
  return name === undefined ? undefined : clayKey(name);
}

function notFound(words: string, kinds: readonly BookKind[] | undefined): AppError {
  return new AppError({
    code: 'not-in-book',
    kind: 'not-found',
    detail: `The book has no ${kinds === undefined ? 'record' : kinds.join(' or ')} "${words.trim().slice(0, 80)}".`,
    hint: `Look for it with "kneadwell list --search"${kinds?.length === 1 || kinds?.includes('block') ? `, or add it first with "kneadwell add ${kinds.includes('block') ? 'block' : kinds[0]}"` : ''}.`,
  });
}
