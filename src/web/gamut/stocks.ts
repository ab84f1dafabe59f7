import type { Studio } from '../find/studio.ts';

/** `all`, `hand`, `line saltmarsh`; or `none` for nothing beside it. */
export type StockName = string;

/** Stocks that can be looked at: everything, what is on hand, each line alone. */
export function stocksOf(studio: Studio): readonly (readonly [StockName, string])[] {
  const told = studio.clays.filter(({ onHandG }) => onHandG !== undefined);
  return [
    ['all', 'All I own'],
    ...(told.length === 0 ? [] : [['hand', 'What is on hand'] as const]),
    ...studio.lines.map(({ id, name }) => [`line ${id}`, `${name} alone`] as const),
  ];
}

/** Clays of the open clays that belong to a stock. */
export function claysOf(stock: StockName, studio: Studio): readonly number[] {
  return studio.clays
    .filter(({ lineId, onHandG }) => {
      if (stock === 'all') return true;
      if (stock === 'hand') return (onHandG ?? 0) > 0;
      return stock === `line ${lineId}`;
    })
    .map(({ clay }) => clay);
}
