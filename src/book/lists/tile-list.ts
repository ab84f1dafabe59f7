import type { Lab } from '../../core/colour/triples.ts';
import type { ReadingKind } from '../../domain/records/reading-kind.ts';
import type { BookRecord, RecordOf } from '../../domain/records/record.ts';
import { bestOf, kindShown } from '../../domain/records/shown-colour.ts';
import type { Book } from '../book.ts';
import { type ListPage, type ListQuery, roundedLab } from './list-rows.ts';
import { pageOf } from './mix-list.ts';

/** A reading as a tile shows it. */
export interface TileReadingRow {
  readonly id: string;
  readonly lab: Lab;
  readonly readingKind: ReadingKind;
  readonly override?: true;
  readonly photoId?: string;
}

/** A tile, read or not yet, or a block that was read without one. */
export interface ListedTile {
  readonly id: string;
  readonly kind: 'tile' | 'block';
  readonly code?: string;
  readonly name?: string;
  /** What it is a sample of; a mix with its name. */
  readonly of?: { readonly kind: 'block' | 'mix'; readonly id: string; readonly name?: string };
  readonly raw?: TileReadingRow;
  readonly baked?: TileReadingRow;
  /** The parts of the mix. */
  readonly parts?: RecordOf<'mix'>['body']['parts'];
  readonly gone?: true;
}

/** Rows of the sheet of tiles, the newest first, from any place on. */
export async function tileList(book: Book, call: ListQuery): Promise<ListPage<ListedTile>> {
  const known = call.sheet === undefined ? undefined : book.sheets.again(call.sheet);
  const sheet = known ?? (await book.sheets.tiles());
  return pageOf(book, sheet, call, (ids) => tileRows(book, ids));
}

async function tileRows(book: Book, ids: readonly string[]): Promise<readonly ListedTile[]> {
  const { store } = book.ports;
  const { table } = book.index;
  const readingIds = new Map(
    ids.map((id) => {
      const number = table.numberOf(id);
      const readings = number === undefined ? [] : table.namersOf(number, 'of');
      // The oldest first, as everywhere a colour is chosen.
      return [id, readings.filter((one) => table.isLive(one, 'reading')).sort(byNumber)];
    }),
  );
  const read = [...readingIds.values()].flat().map(table.idAt);
  const records = await store.getMany([...ids, ...read]);
  const mixIds = ids.flatMap((id) => {
    const record = records.get(id);
    return record?.kind === 'tile' && 'id' in record.body.of ? [record.body.of.id] : [];
  });
  const mixes = await store.getMany(mixIds);
  return ids.map((id): ListedTile => {
    const record = records.get(id);
    const readings = (readingIds.get(id) ?? [])
      .flatMap((reading) => records.get(table.idAt(reading)) ?? [])
      .filter((one): one is BookRecord & RecordOf<'reading'> => one.kind === 'reading');
    if (record?.deletedAt !== undefined) return { id, kind: 'tile', gone: true };
    const raw = stateOf(readings, 'raw');
    const baked = stateOf(readings, 'baked');
    const states = {
      ...(raw === undefined ? {} : { raw }),
      ...(baked === undefined ? {} : { baked }),
    };
    if (record?.kind === 'block' && readings.length > 0) return { id, kind: 'block', ...states };
    if (record?.kind !== 'tile') return { id, kind: 'tile', gone: true };
    const { code, name, of } = record.body;
    const mix = 'id' in of ? mixes.get(of.id) : undefined;
    const mixed = mix?.kind === 'mix' ? mix.body : undefined;
    const called = mixed?.name ?? mixed?.code;
    const parts = 'parts' in of ? of.parts : mixed?.parts;
    return {
      id,
      kind: 'tile',
      ...(code === undefined ? {} : { code }),
      ...(name === undefined ? {} : { name }),
      ...('id' in of ? { of: { ...of, ...(called === undefined ? {} : { name: called }) } } : {}),
      ...states,
      ...(parts === undefined ? {} : { parts }),
    };
  });
}

function byNumber(one: number, other: number): number {
  return one - other;
}

function stateOf(
  readings: readonly RecordOf<'reading'>[],
  state: 'raw' | 'baked',
): TileReadingRow | undefined {
  const best = bestOf(readings.filter(({ body }) => body.state === state));
  if (best === undefined) return undefined;
  const { reading, lab } = best;
  const { photoId, override } = reading.body;
  return {
    id: reading.id,
    lab: roundedLab(lab),
    readingKind: kindShown(reading.body),
    ...(override === undefined ? {} : { override: true }),
    ...(photoId === undefined ? {} : { photoId }),
  };
}
