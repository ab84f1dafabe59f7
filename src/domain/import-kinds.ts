/** What a file of an import may be: tiles as CSV or CGATS, notes in the user's shorthand, an export of a book. */
export const IMPORT_KINDS = ['readings', 'shorthand', 'export'] as const;
export type ImportKind = (typeof IMPORT_KINDS)[number];
