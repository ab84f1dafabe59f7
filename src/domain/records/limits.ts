/** Most a book may say in one place; past it, a slip or an attack. */
export const BOOK_LIMITS = {
  name: 200,
  code: 40,
  note: 8000,
  written: 1000,
  tag: 60,
  parts: 100,
  list: 1000,
  learnedFrom: 100_000,
  massG: 1_000_000,
  volumeMl: 1_000_000,
} as const;
