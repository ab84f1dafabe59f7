import { z } from 'zod';
import { invalidInput } from '../core/errors.ts';
import { USUAL_SPARE, WASTE_KINDS } from '../core/figure/waste.ts';
import { BASES } from '../core/mixes/mix-graph.ts';
import { range } from '../domain/records/pieces.ts';
import { findQuestion } from './find-question.ts';
import { recipeSchema } from './question-parts.ts';
import { words } from './verb.ts';

const text = (most: number) => z.string().min(1).max(most);

/** One kind of part of a figure. Sizes are checked when the figure is planned, so that the rest still is. */
const shapeAsked = z
  .strictObject({
    name: text(200).exactOptional(),
    count: z.number(),
    /** With its sizes: "leaf 20 x 6 x 1 mm". */
    shape: text(200),
    /** One of the colours of the question, a clay, or a recipe in words. */
    colour: text(2000),
    waste: z.enum(WASTE_KINDS).exactOptional(),
    /** Share lost, where the kind of work does not say. */
    wasteShare: z.number().exactOptional(),
    /** Painted over its clay in this colour: one of the question, or any colour as in find. */
    paint: text(400).exactOptional(),
    /** In so many coats; as many as hide the clay when left out. */
    coats: z.number().exactOptional(),
  })
  .readonly();
export type ShapeAsked = z.output<typeof shapeAsked>;

/** A colour by its recipe; parts may name other colours of the question. */
const colourAsked = z
  .strictObject({ name: text(400), basis: z.enum(BASES).exactOptional(), recipe: recipeSchema })
  .readonly();

const sizeMm = range(0.5, 200);

export const figureQuestion = z.strictObject({
  figure: text(400)
    .exactOptional()
    .meta(
      words({
        option: 'figure',
        value: 'NAME',
        help: 'a figure of the book with its shapes, by its name or code (with --book)',
      }),
    ),
  shapes: z
    .array(z.union([text(2500), shapeAsked]))
    .max(200)
    .readonly()
    .default([])
    .meta(
      words({
        option: 'shape',
        value: 'SHAPE',
        reads: 'colour',
        help: 'parts of one kind, as "240 leaf 20 x 6 x 1 mm of 5 Kelp + 2 Foam" or "1 ball 40 of Mussel painted #8a9b6c". Shapes: ball, log, cone, horn, teardrop, leaf, petal, coil, sheet, "skin over a ball", "skin over a log", amount',
      }),
    ),
  colours: z.array(colourAsked).max(1000).readonly().default([]),
  /** Colours whose batch is mixed: its clay left the stock already. */
  mixed: z.array(text(400)).max(1000).readonly().default([]),
  copies: z
    .int()
    .min(1)
    .max(10_000)
    .exactOptional()
    .meta(
      words({
        option: 'copies',
        value: 'N',
        help: 'figures of an edition, or kits of a class (one when left out)',
      }),
    ),
  cutterMm: sizeMm.exactOptional().meta(
    words({
      option: 'cutter',
      value: 'MM',
      help: 'diameter of the round cutter that counts the pieces; each batch has balls of its own size when left out',
    }),
  ),
  sheetMm: sizeMm
    .exactOptional()
    .meta(words({ option: 'sheet', value: 'MM', help: 'thickness of the sheet it cuts (3)' })),
  spare: range(0, 2)
    .exactOptional()
    .meta(
      words({
        option: 'spare',
        value: 'SHARE',
        help: `clay of each colour beyond the need, for matching again (${USUAL_SPARE})`,
      }),
    ),
  hours: range(0, 10_000)
    .exactOptional()
    .meta(words({ option: 'hours', value: 'N', help: 'hours of work on one figure' })),
  hourlyMinor: range(0, 1e9)
    .exactOptional()
    .meta(
      words({
        option: 'rate',
        value: 'MINOR',
        help: 'pay for one hour, in hundredths of the money of your prices',
      }),
    ),
  /** Of the pay for an hour; that of the prices when left out. */
  hourlyCurrency: text(10).exactOptional(),
  stock: findQuestion.shape.stock,
});
export type FigureQuestion = z.output<typeof figureQuestion>;

/**
 * A shape in words or in fields, in fields: "240 leaf 20 x 6 x 1 mm of 5 Kelp + 2 Foam", "ball 40 of Mussel
 * painted #8a9b6c".
 * Refuses: other words -> invalid-input
 */
export function shapeAskedOf(asked: string | ShapeAsked): ShapeAsked {
  if (typeof asked !== 'string') return asked;
  const found = /^\s*(-?\d+)?\s*(.+?)\s+of\s+(.+?)(?:\s+painted\s+(.+?))?\s*$/is.exec(asked);
  const [, count = '1', shape, colour, paint] = found ?? [];
  if (shape === undefined || colour === undefined) {
    throw invalidInput(
      `"${asked.slice(0, 60)}" does not say a shape and its colour.`,
      'Write for example "240 leaf 20 x 6 x 1 mm of 5 Kelp + 2 Foam".',
    );
  }
  return { count: Number(count), shape, colour, ...(paint === undefined ? {} : { paint }) };
}
