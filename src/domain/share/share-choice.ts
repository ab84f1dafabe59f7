import { z } from 'zod';
import { idSchema, name, tag } from '../records/pieces.ts';
import { sharerFields, USUAL_LICENCE } from './sharer.ts';

/** Which mixes leave. */
export const sharedMixes = z
  .union([
    z.strictObject({ mixIds: z.array(idSchema).min(1).max(5000).readonly() }),
    z.strictObject({ paletteId: idSchema }),
    z.strictObject({ tag }),
    z.strictObject({ all: z.literal(true) }),
  ])
  .readonly();
export type SharedMixes = z.output<typeof sharedMixes>;

/** What leaves in a share file. What is private stays unless its own tick is set. */
export const shareChoice = z.strictObject({
  ...sharerFields,
  licence: sharerFields.licence.default(USUAL_LICENCE),
  title: name.default('Recipes'),
  mixes: sharedMixes.default({ all: true }),
  /** Whose curves go along: the clays of the mixes, all that were learned, or none. */
  clays: z.enum(['used', 'learned', 'none']).default('used'),
  withNotes: z.boolean().default(false),
  withTags: z.boolean().default(false),
  withPrices: z.boolean().default(false),
  withReadings: z.boolean().default(false),
  /** The photo of each mix, made small and without anything but the picture. */
  withPhotos: z.boolean().default(false),
  /** The wish list goes along. */
  withWishes: z.boolean().default(false),
});
export type ShareChoice = z.output<typeof shareChoice>;
