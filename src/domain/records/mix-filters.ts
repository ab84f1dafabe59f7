/** By what mixes of the book are narrowed down; a name stands for the filter in questions and answers. */
export const MIX_FILTERS = [
  'text',
  'tag',
  'line',
  'block',
  'colour',
  'near',
  'box',
  'stockG',
  'tile',
] as const;
export type MixFilter = (typeof MIX_FILTERS)[number];

/** In which order mixes are laid out; `near` wants a colour to be near to. */
export const MIX_ORDERS = ['changed', 'created', 'code', 'name', 'near'] as const;
export type MixSort = (typeof MIX_ORDERS)[number];

/** Nothing farther off is near a colour, CIEDE2000. */
export const FARTHEST_DE00 = 10;
