import { z } from 'zod';
import { CARD_SIZES, type CardSize } from '../drawing/card-drawing.ts';
import { PAGE_SIZES, type PageSize } from '../drawing/card-page.ts';
import { labelSheet } from '../drawing/label-sheets.ts';
import { idSchema, lab, line, name } from '../records/pieces.ts';
import { shareChoice } from './share-choice.ts';

/** Whose recipes, and which. */
export const sharingFields = shareChoice.pick({
  author: true,
  link: true,
  words: true,
  licence: true,
  mixes: true,
}).shape;

export const paper = z.enum(Object.keys(PAGE_SIZES) as [PageSize, ...PageSize[]]).default('A4');
export const cardSize = z
  .enum(Object.keys(CARD_SIZES) as [CardSize, ...CardSize[]])
  .default('portrait');

/** A card of one mix as a picture, or of several as pages. */
export const cardCall = z.strictObject({
  ...sharingFields,
  as: z.enum(['png', 'svg', 'pdf']).default('png'),
  size: cardSize,
  paper,
  others: z.boolean().default(true),
});

/** Steps of a ladder, both ends among them. */
const MOST_STEPS = 25;

/** Sheets to print, each with what it alone asks. */
export const printCall = z.discriminatedUnion('what', [
  z.strictObject({
    what: z.literal('labels'),
    ...sharingFields,
    sheet: labelSheet,
    qr: z.boolean().default(false),
    testPage: z.boolean().default(true),
  }),
  z.strictObject({
    what: z.literal('chart'),
    ...sharingFields,
    title: name.exactOptional(),
    /** Clays of this line alone, and mixes of nothing else. */
    lineId: idSchema.exactOptional(),
    paper,
  }),
  z.strictObject({
    what: z.literal('ladder'),
    title: name,
    /** From the first colour to the last. */
    steps: z
      .array(z.strictObject({ title: name, recipe: line(400), lab }))
      .min(2)
      .max(MOST_STEPS),
    paper,
  }),
  z.strictObject({ what: z.literal('short-names'), paper }),
  z.strictObject({ what: z.literal('wishes'), paper }),
  z.strictObject({
    what: z.literal('class-kit'),
    ...sharingFields,
    pupils: z.int().min(1).max(200),
    /** Times each recipe is mixed by every pupil. */
    batches: z.int().min(1).max(50).default(1),
    paper,
  }),
]);
export type PrintCall = z.output<typeof printCall>;
