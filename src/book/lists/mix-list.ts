import type { Lab } from '../../core/colour/triples.ts';
import type { BookRecord, RecordOf } from '../../domain/records/record.ts';
import { kindOfStatus } from '../../domain/records/shown-colour.ts';
import type { Book } from '../book.ts';
import type { MixQuestion, Sheet } from '../list-service.ts';
import { earlyMixList, isListedEarly } from './early-list.ts';
import { type ListedMix, type ListPage, type ListQuery, roundedLab } from './list-rows.ts';

/**
 * Rows of a sheet of mixes from any place on. The places stay as they were when the sheet was opened;
 * what a row says is as it is now.
 */
export async function mixList(
  book: Book,
  call: ListQuery & MixQuestion & { readonly parts?: boolean },
): Promise<ListPage<ListedMix>> {
  const { sheet: name, from, limit, parts = false, ...question } = call;
  if (await isListedEarly(book, call)) return book.index.first(() => earlyMixList(book, call));
  const known = name === undefined ? undefined : book.sheets.again(name);
  const sheet = known ?? (await book.sheets.mixes(question));
  return pageOf(book, sheet, { from, limit }, (ids) => mixRows(book, ids, parts));
}

/** One page of a sheet, its rows made by `rowsOf`. */
export async function pageOf<R>(
  book: Book,
  sheet: Sheet,
  { from, limit }: { readonly from: number; readonly limit: number },
  rowsOf: (ids: readonly string[]) => Promise<readonly R[]>,
): Promise<ListPage<R>> {
  const { name, numbers, without } = sheet;
  const ids = numbers.slice(from, from + limit).map((number) => book.index.table.idAt(number));
  return {
    sheet: name,
    total: numbers.length,
    from,
    rows: await rowsOf(ids),
    behind: sheet.behind(),
    ...(without === undefined ? {} : { without }),
  };
}

async function mixRows(
  book: Book,
  ids: readonly string[],
  withParts: boolean,
): Promise<readonly ListedMix[]> {
  const { index, ports } = book;
  const { table } = index;
  const numbers = ids.flatMap((id) => table.numberOf(id) ?? []);
  const records = await ports.store.getMany(ids);
  const mixes = [...records.values()].filter(isLiveMix);
  const clays = withParts ? await innerMixes(book, mixes) : new Map();
  await book.predicted.of(numbers);
  return ids.map((id): ListedMix => {
    const mix = records.get(id);
    if (mix === undefined || !isLiveMix(mix)) return { id, gone: true };
    const { code, name, tags, parts } = mix.body;
    return {
      id,
      ...(code === undefined ? {} : { code }),
      ...(name === undefined ? {} : { name }),
      ...colourOf(book, id),
      ...(withParts
        ? {
            basis: mix.body.basis,
            parts: parts.map((part) => ({ ...part, ...clays.get(part.of.id) })),
          }
        : {}),
      ...(withParts && tags !== undefined && tags.length > 0 ? { tags } : {}),
    };
  });
}

function colourOf(
  { index: { table, shown } }: Book,
  id: string,
): Pick<ListedMix, 'lab' | 'readingKind'> {
  const number = table.numberOf(id);
  const colour = number === undefined ? undefined : shown.of(number);
  if (colour === undefined) return {};
  const { lab, from, source } = colour;
  const readingKind = from === 'reading' ? kindOfStatus(table.statusAt(source)) : 'predicted';
  return { lab: roundedLab(lab), readingKind };
}

async function innerMixes(
  book: Book,
  mixes: readonly RecordOf<'mix'>[],
): Promise<ReadonlyMap<string, { readonly name: string; readonly lab?: Lab }>> {
  const ids = mixes.flatMap(({ body }) =>
    body.parts.flatMap(({ of }) => (of.kind === 'mix' ? [of.id] : [])),
  );
  if (ids.length === 0) return new Map();
  const found = await book.ports.store.getMany(ids);
  await book.predicted.of(ids.flatMap((id) => book.index.table.numberOf(id) ?? []));
  return new Map(
    [...found.values()].flatMap((record) => {
      if (record.kind !== 'mix') return [];
      const { name, code } = record.body;
      const { lab } = colourOf(book, record.id);
      return [[record.id, { name: name ?? code ?? '', ...(lab === undefined ? {} : { lab }) }]];
    }),
  );
}

function isLiveMix(record: BookRecord): record is BookRecord & RecordOf<'mix'> {
  return record.kind === 'mix' && record.deletedAt === undefined;
}
