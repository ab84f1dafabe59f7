/** What a file of an import may be: tiles as CSV or CGATS, notes in the user's shorthand, an export of a book, recipes somebody shared, or published in plain words. */
export const IMPORT_KINDS = ['readings', 'shorthand', 'export', 'share', 'published'] as const;
export type ImportKind = (typeof IMPORT_KINDS)[number];
