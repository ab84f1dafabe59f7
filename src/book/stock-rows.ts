import type { StockRow } from '../core/find/known-clays.ts';
import { clayOfBlock, stockOfClays } from '../domain/clay-of-block.ts';
import type { RecordOf } from '../domain/records/record.ts';
import type { Book } from './book.ts';
import { stockOnHand } from './stock-on-hand.ts';

/** The clays of a model as the book has them: line, price, density, what is on hand. */
export async function stockRows(
  book: Book,
  { body }: RecordOf<'clay-model'>,
): Promise<readonly StockRow[]> {
  const { store } = book.ports;
  const blocks = await store.getMany(body.clays.flatMap(({ blockId }) => blockId ?? []));
  const lineIds = [...blocks.values()].flatMap((r) => (r.kind === 'block' ? r.body.lineId : []));
  const lines = await store.getMany([...new Set(lineIds)]);
  const onHand = new Map((await stockOnHand(book)).map((stock) => [stock.of.id, stock.grams]));
  const clays = body.clays.flatMap(({ name, blockId }) => {
    const block = blockId === undefined ? undefined : blocks.get(blockId);
    if (block?.kind !== 'block') return [];
    const line = lines.get(block.body.lineId);
    const clay = clayOfBlock(block, line?.kind === 'line' ? line : undefined, onHand.get(block.id));
    return [{ name, ...clay }];
  });
  return stockOfClays(clays).rows;
}
