import type { Studio } from '../find/studio.ts';

/** `all`, `hand`, `line saltmarsh`; or `none` for no comparison. */
export type StockName = string;

/** The stocks to choose from: all clays, clays on hand, each line. */
export function stocksOf(studio: Studio): readonly (readonly [StockName, string])[] {
  const counted = studio.clays.filter(({ onHandG }) => onHandG !== undefined);
  return [
    ['all', 'All clays'],
    ...(counted.length === 0 ? [] : [['hand', 'Clays on hand'] as const]),
    ...studio.lines.map(({ id, name }) => [`line ${id}`, `${name} only`] as const),
  ];
}

/** The open clays that belong to a stock. */
export function claysOfStock(stock: StockName, studio: Studio): readonly number[] {
  return studio.clays
    .filter(({ lineId, onHandG }) => {
      if (stock === 'all') return true;
      if (stock === 'hand') return (onHandG ?? 0) > 0;
      return stock === `line ${lineId}`;
    })
    .map(({ clay }) => clay);
}
