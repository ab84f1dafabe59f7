import type { StockRow } from '../core/find/known-clays.ts';
import { inARow } from '../core/in-a-row.ts';

/** What the prices of a stock allow. */
export interface PricesKnown {
  /** Of all prices; absent where there is none, or more than one. */
  readonly currency?: string;
  /** The middle price of one gram, for blocks without one; absent where no price is known or they cannot be added up. */
  readonly middlePerG?: number;
  /** What the user must know about them; the list or the piles are named by `instead`, such as "the list has the fewest packages". */
  readonly notes: (instead: string) => readonly string[];
}

/**
 * Prices of blocks as a sum of money needs them: of one currency, with the middle price where one is missing.
 * Shape:   names of the blocks, each with its row of the stock -> what is known
 * Holds:   prices of two currencies are never added up
 */
export function pricesKnown(
  blocks: readonly { readonly name: string; readonly row: StockRow | undefined }[],
  stock: readonly StockRow[],
): PricesKnown {
  const currencies = currenciesOf(stock);
  const perG = blocks.flatMap(({ row }) => row?.priceMinorPerG ?? []).sort((a, b) => a - b);
  const middle = perG[Math.floor(perG.length / 2)];
  const [currency] = currencies;
  if (currencies.length > 1) {
    return {
      notes: (instead) => [
        `Prices are in ${inARow(currencies)}, which cannot be added up, so ${instead}. Enter all prices in one currency.`,
      ],
    };
  }
  if (middle === undefined) return { notes: (instead) => [`No price is known, so ${instead}.`] };
  const without = blocks.flatMap(({ name, row }) =>
    row?.priceMinorPerG === undefined ? [name] : [],
  );
  return {
    middlePerG: middle,
    ...(currency === undefined ? {} : { currency }),
    notes: () =>
      without.length === 0
        ? []
        : [`There is no price for ${someOf(without)}: the middle price of the others is taken.`],
  };
}

/** Currencies of the prices; costs are added up in one only. */
export function currenciesOf(stock: readonly StockRow[]): readonly string[] {
  return [...new Set(stock.flatMap(({ currency }) => currency ?? []))].sort();
}

/** A long list of names, cut short: "Kelp, Foam, Dulse, Limpet, Mussel and 4 more". */
export function someOf(names: readonly string[]): string {
  return names.length > 5
    ? `${names.slice(0, 5).join(', ')} and ${names.length - 5} more`
    : names.join(', ');
}
