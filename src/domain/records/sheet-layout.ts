import { z } from 'zod';
import type { SheetLayout } from '../../core/photo/sheet-layout.ts';

const mm = z.number().min(-10_000).max(10_000);
const size = z.number().positive().max(10_000);
const point = z.tuple([mm, mm]).readonly();
const box = z.strictObject({ at: point, widthMm: size, heightMm: size }).readonly();

/**
 * A board of one's own with markers of the dictionary, as a file tells it; all in mm from its top left
 * corner, y downward. Markers and tile places may lie as they like.
 * Refuses: fewer than two markers, a marker id twice or past 63, unknown keys
 */
export const sheetLayoutSchema: z.ZodType<SheetLayout> = z
  .strictObject({
    name: z.string().min(1).max(200),
    widthMm: size,
    heightMm: size,
    markers: z
      .array(z.strictObject({ id: z.int().min(0).max(63), at: point, sideMm: size }).readonly())
      .min(2)
      .max(64)
      .readonly(),
    places: z
      .array(
        z
          .strictObject({ name: z.string().min(1).max(200), centre: point, sideMm: size })
          .readonly(),
      )
      .max(500)
      .readonly(),
    chart: box.exactOptional(),
    greyCard: box.exactOptional(),
    crosses: z.boolean(),
    printed: z.array(box).max(500).readonly(),
  })
  .refine(({ markers }) => new Set(markers.map(({ id }) => id)).size === markers.length, {
    error: 'each marker once',
  })
  .readonly();
