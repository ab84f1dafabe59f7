import { z } from 'zod';
import { PART_AMOUNTS, PART_SIZES } from '../../core/figure/part-shape.ts';
import { WASTE_KINDS } from '../../core/figure/waste.ts';
import { BOOK_LIMITS } from './limits.ts';
import { idSchema, moneySum, name, range, refTo } from './pieces.ts';

const mm = range(...PART_SIZES);
const amount = range(...PART_AMOUNTS);
const feathered = { edges: z.literal('feathered').exactOptional() };

/** A shape with its sizes, as the core reckons its clay. */
export const partShapeSchema = z
  .discriminatedUnion('form', [
    z.strictObject({ form: z.literal('ball'), diameterMm: mm }),
    z.strictObject({ form: z.literal('log'), diameterMm: mm, lengthMm: mm }),
    z.strictObject({ form: z.literal('cone'), diameterMm: mm, lengthMm: mm }),
    z.strictObject({ form: z.literal('horn'), rootMm: mm, tipMm: mm, lengthMm: mm }),
    z.strictObject({ form: z.literal('teardrop'), diameterMm: mm, lengthMm: mm }),
    z.strictObject({
      form: z.literal('leaf'),
      lengthMm: mm,
      widthMm: mm,
      thicknessMm: mm,
      ...feathered,
    }),
    z.strictObject({
      form: z.literal('petal'),
      lengthMm: mm,
      widthMm: mm,
      thicknessMm: mm,
      ...feathered,
    }),
    z.strictObject({
      form: z.literal('coil'),
      wireMm: mm,
      acrossMm: mm,
      turns: amount,
      pitchMm: mm,
    }),
    z.strictObject({ form: z.literal('sheet'), lengthMm: mm, widthMm: mm, thicknessMm: mm }),
    z.strictObject({ form: z.literal('skin over a ball'), skinMm: mm, coreMm: mm }),
    z.strictObject({ form: z.literal('skin over a log'), skinMm: mm, coreMm: mm, lengthMm: mm }),
    z.strictObject({ form: z.literal('amount'), massG: amount }),
  ])
  .readonly();

/** Parts of a figure of one kind: a shape, how many, and of which clay. */
const shapeOfFigure = z
  .strictObject({
    name: name.exactOptional(),
    count: z.int().min(1).max(1_000_000),
    shape: partShapeSchema,
    /** Absent until its colour is chosen. */
    of: refTo('mix', 'block').exactOptional(),
    waste: z.enum(WASTE_KINDS).exactOptional(),
    /** Share lost, where the kind of work does not say. */
    wasteShare: range(0, 0.9).exactOptional(),
    /** Whether thin or bulky: a thin part wants clay that bends. */
    bulk: z.enum(['thin', 'bulky']).exactOptional(),
    /** Painted over its clay: like which colour, in how many coats (as many as hide it), and of what. */
    paint: z
      .strictObject({
        like: refTo('mix', 'block').exactOptional(),
        coats: z.int().min(1).max(20).exactOptional(),
        powderId: idSchema.exactOptional(),
      })
      .readonly()
      .exactOptional(),
  })
  .readonly();
export type ShapeOfFigure = z.output<typeof shapeOfFigure>;

/** What a figure will need, before it is made. */
export const figurePlan = z
  .strictObject({
    shapes: z.array(shapeOfFigure).max(BOOK_LIMITS.parts).readonly(),
    /** Figures of an edition, or kits of a class. */
    copies: z.int().min(1).max(10_000).exactOptional(),
    /** The round cutter and the sheet it cuts. */
    cutterMm: range(0.5, 200).exactOptional(),
    sheetMm: range(0.5, 200).exactOptional(),
    /** Share of each colour beyond the need. */
    spare: range(0, 2).exactOptional(),
    hours: range(0, 10_000).exactOptional(),
    /** Pay for one hour. */
    hourly: moneySum.readonly().exactOptional(),
  })
  .readonly();
export type FigurePlan = z.output<typeof figurePlan>;
