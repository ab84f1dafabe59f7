/** The mark on a grid of 16: a small piece going into the lump. */
export const MARK_PATH =
  'M8 1H15V8H13A2 2 0 0 0 11 10V13A2 2 0 0 1 9 15H3A2 2 0 0 1 1 13V7A2 2 0 0 1 3 5H6A2 2 0 0 0 8 3z';
