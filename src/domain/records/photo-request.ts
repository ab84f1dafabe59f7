import { z } from 'zod';
import { PAPERS } from '../../core/photo/sheet-layout.ts';
import { line, range } from './pieces.ts';
import { sheetLayoutSchema } from './sheet-layout.ts';

/** Limit on places and tiles to point at; what they share is given for every pair of them. */
export const MOST_TILES_IN_PHOTO = 120;

export const pixel = z.tuple([range(-1e5, 1e6), range(-1e5, 1e6)]).readonly();

/** Outer corners of the sheet's corner markers in pixels: top left, then clockwise. */
export const cornersAsked = z.tuple([pixel, pixel, pixel, pixel]).readonly();

export const sheetNames = ['any', ...PAPERS, 'none'] as const;

/** A printed tray sheet, whichever it is or none, or a board of one's own (docs/photo.md). */
export const sheetAsked = z.union([
  z.enum(sheetNames),
  z.strictObject({
    board: sheetLayoutSchema.refine(({ places }) => places.length <= MOST_TILES_IN_PHOTO, {
      error: `at most ${MOST_TILES_IN_PHOTO} places`,
    }),
  }),
]);

/** When the chart was made. */
export const chartEditions = z.enum(['before 2014', 'from 2014', 'none']);
export const DEFAULT_EDITION = 'from 2014';

/** When the chart was made, or a file of readings of its patches A1 to D6. */
export const chartAsked = (mostLetters: number) =>
  z.union([
    chartEditions,
    z.strictObject({ fileName: line(200), text: z.string().min(1).max(mostLetters) }),
  ]);
