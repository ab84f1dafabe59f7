import type { StockRow } from '../core/find/known-clays.ts';
import { clayNames } from '../domain/clay-names.ts';
import { clayOfBlock, isOwned, stockOfClays } from '../domain/clay-of-block.ts';
import { labOfReading } from '../domain/records/lab-of-reading.ts';
import { ofKind } from '../domain/records/of-kind.ts';
import { spreadOfKind } from '../domain/records/reading-kind.ts';
import type { RecordOf } from '../domain/records/record.ts';
import { byQuality } from '../domain/records/shown-colour.ts';
import { allRecords } from './all-records.ts';
import type { Book } from './book.ts';
import { stockOnHand } from './stock-on-hand.ts';

/**
 * The clays of a model as the book has them: line, price, density, what is on hand. After them the blocks
 * that the model does not hold, with the best colour that was read of each.
 */
export async function stockRows(
  book: Book,
  { body }: RecordOf<'clay-model'>,
): Promise<readonly StockRow[]> {
  const { store } = book.ports;
  const blocks = new Map(
    ofKind(await allRecords(store, 'block'), 'block')
      .filter(({ deletedAt }) => deletedAt === undefined)
      .map((block) => [block.id, block]),
  );
  const lines = new Map(
    ofKind(await allRecords(store, 'line'), 'line').map((line) => [line.id, line]),
  );
  const onHand = new Map((await stockOnHand(book)).map((stock) => [stock.of.id, stock.grams]));
  const clayOf = (block: RecordOf<'block'>, name: string) => ({
    name,
    ...clayOfBlock(block, lines.get(block.body.lineId), onHand.get(block.id)),
  });
  const learned = body.clays.flatMap(({ name, blockId }) => {
    const block = blockId === undefined ? undefined : blocks.get(blockId);
    return block === undefined || !isOwned(block) ? [] : [clayOf(block, name)];
  });
  const held = new Set(body.clays.map(({ blockId }) => blockId));
  const left = [...blocks.values()].filter(
    ({ id, body: { status } }) => !held.has(id) && status === 'current',
  );
  if (left.length === 0) return stockOfClays(learned).rows;
  const names = clayNames(blocks.values(), lines);
  const rough = await roughColours(book, new Set(left.map(({ id }) => id)));
  const all = [...learned, ...left.map((block) => clayOf(block, names.get(block.id)!))];
  const blockOf = new Map(left.map(({ id }) => [names.get(id)!, id]));
  return stockOfClays(all).rows.map((row) => {
    const colour = rough.get(blockOf.get(row.name) ?? '');
    return colour === undefined ? row : { ...row, rough: colour };
  });
}

/** The best colour that was read of each of some blocks or of its plain tiles, raw ones too. */
async function roughColours(book: Book, blocks: ReadonlySet<string>) {
  const { store } = book.ports;
  const tiles = new Map(
    ofKind(await allRecords(store, 'tile'), 'tile').flatMap(({ id, body: { of } }) =>
      'id' in of && blocks.has(of.id) ? [[id, of.id] as const] : [],
    ),
  );
  const found = new Map<string, NonNullable<StockRow['rough']>>();
  const readings = ofKind(await allRecords(store, 'reading'), 'reading')
    .filter(({ deletedAt }) => deletedAt === undefined)
    .toSorted(byQuality);
  for (const { body } of readings) {
    const block = tiles.get(body.of.id) ?? body.of.id;
    const lab = labOfReading(body);
    if (!blocks.has(block) || found.has(block) || lab === undefined) continue;
    found.set(block, { lab, spread: Math.max(body.spread, spreadOfKind(body.readingKind)) });
  }
  return found;
}
