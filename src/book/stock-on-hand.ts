import type { Book } from './book.ts';
import { type StockLedger, stockOfStore } from './stock-ledger.ts';

/** Stock of one thing, or of all. */
export function stockOnHand(book: Book, id?: string): Promise<readonly StockLedger[]> {
  return stockOfStore(book.ports.store, id);
}
