import { AppError } from '../../core/errors.ts';
import { foldedText } from '../../domain/index-fields.ts';
import { mixesInUse } from '../../domain/mixes-in-use.ts';
import { ofKind } from '../../domain/records/of-kind.ts';
import type { BookKind, BookRecord, RecordOf } from '../../domain/records/record.ts';
import type { SharedMixes } from '../../domain/share/share-choice.ts';
import { allRecords } from '../all-records.ts';
import type { Book } from '../book.ts';
import { notInBook } from '../errors.ts';

/** Live records of one kind. */
export async function liveOf<K extends BookKind>(
  { ports: { store } }: Pick<Book, 'ports'>,
  kind: K,
): Promise<readonly RecordOf<K>[]> {
  const records = ofKind(await allRecords(store, kind), kind);
  return records.filter(({ deletedAt }) => deletedAt === undefined);
}

export interface ChosenMixes {
  /** By name. */
  readonly mixes: readonly RecordOf<'mix'>[];
  /** The palette they are of, where one was chosen. */
  readonly palette?: RecordOf<'palette'>;
}

/**
 * The mixes a choice names. Somebody else's mixes leave only when they are named one by one.
 * Refuses: a mix or palette that is not there -> not-in-book; none at all -> nothing-to-share (bad-input)
 */
export async function chosenMixes(book: Book, choice: SharedMixes): Promise<ChosenMixes> {
  const chosen = await mixesOf(book, choice);
  if (chosen.mixes.length === 0) throw nothingToShare();
  return chosen;
}

async function mixesOf(book: Book, choice: SharedMixes): Promise<ChosenMixes> {
  const { store } = book.ports;
  if ('mixIds' in choice) {
    const found = await store.getMany(choice.mixIds);
    return { mixes: choice.mixIds.map((id) => liveMix(found.get(id), id)) };
  }
  if ('paletteId' in choice) {
    const palette = await store.get(choice.paletteId);
    if (palette?.kind !== 'palette' || palette.deletedAt !== undefined) {
      throw notInBook(choice.paletteId);
    }
    const ids = [...new Set(palette.body.aims.flatMap(({ mixId }) => mixId ?? []))];
    const found = await store.getMany(ids);
    const mixes = ids.flatMap((id) => {
      const mix = found.get(id);
      return mix?.kind === 'mix' && mix.deletedAt === undefined ? [mix] : [];
    });
    return { mixes, palette };
  }
  const own = mixesInUse(await ownOf(book, 'mix'));
  const tagged =
    'tag' in choice
      ? own.filter(({ body }) =>
          (body.tags ?? []).some((tag) => foldedText(tag) === foldedText(choice.tag)),
        )
      : own;
  const title = ({ body }: RecordOf<'mix'>) => foldedText(body.name ?? body.code ?? '');
  return { mixes: tagged.toSorted((a, b) => title(a).localeCompare(title(b), 'en')) };
}

/** Live records of a kind, without those that somebody else shared. */
export async function ownOf<K extends 'mix' | 'wish'>(
  book: Book,
  kind: K,
): Promise<readonly RecordOf<K>[]> {
  const others = new Set(
    (await liveOf(book, 'collection')).flatMap(({ id, body }) =>
      body.sharedBy === undefined ? [] : [id],
    ),
  );
  const isOthers = ({ body }: RecordOf<K>) => {
    const { collectionIds = [] }: { readonly collectionIds?: readonly string[] } = body;
    return collectionIds.some((id) => others.has(id));
  };
  return (await liveOf(book, kind)).filter((record) => !isOthers(record));
}

function liveMix(record: BookRecord | undefined, id: string): RecordOf<'mix'> {
  if (record?.kind !== 'mix' || record.deletedAt !== undefined) throw notInBook(id);
  return record;
}

function nothingToShare(): AppError {
  return new AppError({
    code: 'nothing-to-share',
    kind: 'bad-input',
    detail: 'No mix of your own fits this choice.',
    hint: 'Save a mix first, or choose other ones.',
  });
}
