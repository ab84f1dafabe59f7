import type { Lab } from '../../core/colour/triples.ts';
import type { ReadingKind } from '../../domain/reading-kind.ts';
import type { BookRecord, RecordOf } from '../../domain/records/record.ts';
import type { Book } from '../book.ts';
import type { LetGo, MixQuestion, Sheet } from './list-service.ts';
import { surestColours } from './samples.ts';

/** A clay of a mix, as a row of pieces wants it; name and colour of mixes alone: blocks are few. */
export interface MixRowPart {
  readonly of: { readonly kind: 'block' | 'mix'; readonly id: string };
  readonly parts: number;
  readonly name?: string;
  readonly lab?: Lab;
}

/** A mix as its tile shows it. */
export interface MixRow {
  readonly id: string;
  readonly code?: string;
  readonly name?: string;
  /** Of its surest reading, else as it was predicted when it was kept; D50, 2 degrees. */
  readonly lab?: Lab;
  readonly readingKind?: ReadingKind | 'predicted';
  /** Where it has no colour, for whoever can predict one, or where asked. */
  readonly parts?: readonly MixRowPart[];
  /** What the parts count; beside them. */
  readonly basis?: RecordOf<'mix'>['body']['basis'];
  readonly tags?: readonly string[];
  /** Deleted or emptied from the bin since the sheet was opened. */
  readonly gone?: true;
}

export interface ListQuery {
  /** Name of a sheet that was opened before; another is opened where it is laid away. */
  readonly sheet?: string;
  readonly from: number;
  readonly limit: number;
}

export interface ListPage<R> {
  readonly sheet: string;
  readonly total: number;
  readonly from: number;
  readonly rows: readonly R[];
  /** The book changed since the sheet was opened. */
  readonly behind: boolean;
  readonly without?: readonly LetGo[];
}

/** Decimals of a colour in a row: a screen shows less than a tenth of it. */
const DECIMALS = 1000;

/**
 * Rows of a sheet of mixes from any place on. The places stay as they were when the sheet was opened;
 * what a row says is as it is now.
 */
export async function mixList(
  book: Book,
  call: ListQuery & MixQuestion & { readonly parts?: boolean },
): Promise<ListPage<MixRow>> {
  const { sheet: name, from, limit, parts = false, ...question } = call;
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
  const ids = numbers.slice(from, from + limit).map((number) => book.index.rowAt(number)?.id ?? '');
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
): Promise<readonly MixRow[]> {
  const records = await book.ports.store.getMany(ids);
  const mixes = [...records.values()].filter(isLiveMix);
  const surest = await surestColours(
    book,
    mixes.map(({ id }) => id),
  );
  const colourless = mixes.filter(
    ({ id, body }) => !surest.has(id) && body.predicted === undefined,
  );
  const told = withParts ? mixes : colourless;
  const clays = await innerMixes(book, told);
  return ids.map((id): MixRow => {
    const mix = records.get(id);
    if (mix === undefined || !isLiveMix(mix)) return { id, gone: true };
    const { code, name, predicted, tags } = mix.body;
    const read = surest.get(id);
    const lab = read?.lab ?? predicted?.lab;
    const readingKind = read === undefined ? 'predicted' : gotOf(read.reading);
    return {
      id,
      ...(code === undefined ? {} : { code }),
      ...(name === undefined ? {} : { name }),
      ...(lab === undefined ? {} : { lab: rounded(lab), readingKind }),
      ...(withParts || lab === undefined
        ? {
            basis: mix.body.basis,
            parts: mix.body.parts.map((part) => ({ ...part, ...clays.get(part.of.id) })),
          }
        : {}),
      ...(withParts && tags !== undefined && tags.length > 0 ? { tags } : {}),
    };
  });
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
  const surest = await surestColours(book, [...found.keys()]);
  return new Map(
    [...found.values()].flatMap((record) => {
      if (record.kind !== 'mix') return [];
      const { name, code, predicted } = record.body;
      const lab = surest.get(record.id)?.lab ?? predicted?.lab;
      const told = {
        name: name ?? code ?? '',
        ...(lab === undefined ? {} : { lab: rounded(lab) }),
      };
      return [[record.id, told] as const];
    }),
  );
}

function isLiveMix(record: BookRecord): record is BookRecord & RecordOf<'mix'> {
  return record.kind === 'mix' && record.deletedAt === undefined;
}

export function gotOf({ body }: RecordOf<'reading'>): ReadingKind {
  return body.override?.lab === undefined ? body.readingKind : 'by eye';
}

export function rounded(lab: Lab): Lab {
  const [l, a, b] = lab.map((value) => Math.round(value * DECIMALS) / DECIMALS);
  return [l, a, b];
}
