/** How a colour was got, the surest first. */
export const KINDS = ['measured', 'borrowed', 'by eye', 'rough', 'claimed'] as const;
export type ReadingKind = (typeof KINDS)[number];

export interface KindWidths {
  /** Spread of one reading where the row gives none, CIELAB units an axis. */
  readonly spread: number;
  /** A smaller spread is raised to this: nobody knows such a colour better. */
  readonly least: number;
  /** Standard deviation of the error that readings of one source share, CIELAB units an axis. */
  readonly shared: number;
}

/**
 * How far a colour of each kind that is not measured may be off. Common practice, without a source
 * for any of the numbers; wide on purpose, so that a picture never outweighs a tile.
 * - borrowed: another book's measured reading of a block the user does not own. What it shares is the other
 *   instrument or camera, and the lot.
 * - by eye: picked beside the tile. What it shares is the lamp and the screen.
 * - rough: tapped in a photo without a chart. What it shares is the light of the photo.
 * - claimed: a maker's picture. What it shares is how the source shows all its clays.
 */
export const KIND_WIDTHS: Readonly<Record<Exclude<ReadingKind, 'measured'>, KindWidths>> = {
  borrowed: { spread: 1.5, least: 1, shared: 1 },
  'by eye': { spread: 4, least: 3, shared: 2 },
  rough: { spread: 5, least: 3, shared: 4 },
  claimed: { spread: 6, least: 4, shared: 5 },
};

/** One reading of an instrument where nothing is said of its spread, CIELAB units an axis. */
export const SPREAD_OF_MEASURED = 0.5;

/** Spread of one reading where nothing is said of it, CIELAB units an axis. */
export function spreadOfKind(kind: ReadingKind): number {
  return kind === 'measured' ? SPREAD_OF_MEASURED : KIND_WIDTHS[kind].spread;
}
