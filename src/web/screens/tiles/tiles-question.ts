const TILE_ORDERS = ['newest', 'hue', 'second-look'] as const;
export type TileOrder = (typeof TILE_ORDERS)[number];

/** How tiles are laid out, in the address so that Back and reload keep it. */
export interface TilesQuestion {
  readonly order?: TileOrder;
}

export function tilesQuestionFrom({ order }: Record<string, unknown>): TilesQuestion {
  const known = TILE_ORDERS.find((one) => one === order);
  return known === undefined || known === 'newest' ? {} : { order: known };
}
