import type { StockRow } from '../core/find/known-clays.ts';
import type { RecordOf } from '../domain/records/record.ts';
import type { Book } from './book.ts';
import { stockOnHand } from './stock-on-hand.ts';

/** The clays of a model as the book has them: line, price, density, what is on hand. */
export async function stockRows(book: Book, { body }: RecordOf<'clay-model'>): Promise<StockRow[]> {
  const { store } = book.ports;
  const blocks = await store.getMany(body.clays.flatMap(({ blockId }) => blockId ?? []));
  const lineIds = [...blocks.values()].flatMap((r) => (r.kind === 'block' ? r.body.lineId : []));
  const lines = await store.getMany([...new Set(lineIds)]);
  const onHand = new Map((await stockOnHand(book)).map((stock) => [stock.of.id, stock.grams]));
  return body.clays.flatMap(({ name, blockId }) => {
    const block = blockId === undefined ? undefined : blocks.get(blockId);
    if (block?.kind !== 'block') return [];
    const { lineId, price, packageG, densityGPerCm3 } = block.body;
    const line = lines.get(lineId);
    const ofLine = line?.kind === 'line' ? line.body : undefined;
    const grams = onHand.get(block.id);
    const density = densityGPerCm3 ?? ofLine?.densityGPerCm3;
    return [
      {
        name,
        ...(ofLine === undefined ? {} : { line: ofLine.name }),
        ...(grams === undefined ? {} : { onHandG: Math.max(0, grams) }),
        ...(price === undefined || packageG === undefined || packageG === 0
          ? {}
          : { priceMinorPerG: price.minor / packageG }),
        ...(density === undefined ? {} : { density }),
      },
    ];
  });
}
