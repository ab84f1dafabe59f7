const STOCK_VIEWS = ['blocks', 'boxes', 'compare', 'figures', 'powders', 'names'] as const;
export type StockView = (typeof STOCK_VIEWS)[number];

/** What of the stock is shown, in the address so that Back and reload keep it. */
export interface StockQuestion {
  readonly view?: StockView;
  /** The block whose page is open over it. */
  readonly block?: string;
}

export function stockQuestionFrom({ view, block }: Record<string, unknown>): StockQuestion {
  const known = STOCK_VIEWS.find((one) => one === view);
  return {
    ...(known === undefined || known === 'blocks' ? {} : { view: known }),
    ...(typeof block === 'string' ? { block } : {}),
  };
}
