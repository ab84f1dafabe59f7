/** How the clay of a tile handled, and what the oven did to it. */
export const TILE_CONDITIONS = ['soft', 'sticky', 'crumbly', 'whitened', 'cracked'] as const;
