/**
 * Sorts of tiles whose errors mean different things, the sort that says most comes first. Mixes say how well recipes come
 * out. The only plain tile of a clay is hardly known to the others, so its error says little. A colour that
 * is itself 5 off says nothing of how well clays are predicted.
 */
export const ERROR_SORTS = [
  'mixes',
  'mixes, not measured',
  'plain tiles',
  'only plain tiles',
  'plain tiles, not measured',
  'special clay',
] as const;
export type ErrorSort = (typeof ERROR_SORTS)[number];
