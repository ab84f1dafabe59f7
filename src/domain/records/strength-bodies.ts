import { z } from 'zod';
import { withBefore } from '../../core/numeric/pairs.ts';
import { AIRS } from '../../core/oven/clay-heat.ts';
import { RESULTS } from '../../core/strength/bend-results.ts';
import { SIZE_RANGE } from '../../core/strength/specimen.ts';
import { ACTION_NAMES } from '../../core/strength/strain.ts';
import { BOOK_LIMITS } from './limits.ts';
import { bakeDone, common, day, idSchema, minutes, name, range, share, tempC } from './pieces.ts';

const sizeMm = range(...SIZE_RANGE);

/** What is bent, with its sizes. */
export const specimenSchema = z.discriminatedUnion('form', [
  z.strictObject({ form: z.literal('rod'), diameterMm: sizeMm, lengthMm: sizeMm }),
  z.strictObject({
    form: z.enum(['strip', 'petal', 'pointed petal']),
    thicknessMm: sizeMm,
    widthMm: sizeMm,
    lengthMm: sizeMm,
  }),
  z.strictObject({ form: z.literal('ring'), thicknessMm: sizeMm, lengthMm: sizeMm }),
  z.strictObject({
    form: z.literal('coil'),
    wireMm: sizeMm,
    acrossMm: sizeMm,
    turns: range(0.25, 1000),
  }),
  z.strictObject({ form: z.literal('tip'), rootMm: sizeMm, tipMm: sizeMm, lengthMm: sizeMm }),
]);

/** How far: mm of a rod, a push or a stretch, or turns. */
export const bendAmount = range(0.01, 1000);

/** One specimen of two lines mixed, bent once; without a result it is still to do. */
export const bendTestBody = z
  .strictObject({
    ...common,
    /** The planned set it belongs to, and which specimen of its share it is. */
    set: name.exactOptional(),
    number: z.int().min(1).max(1000).exactOptional(),
    strongLineId: idSchema,
    /** Absent where the strong line was tested alone. */
    otherLineId: idSchema.exactOptional(),
    /** Share of the strong line among the two. */
    strongShare: share,
    /** Of the whole. */
    translucentShare: share.exactOptional(),
    powderShare: share.exactOptional(),
    /** The mix it was made of, if it was one of the book. */
    mixId: idSchema.exactOptional(),
    specimen: specimenSchema,
    action: z.enum(ACTION_NAMES),
    amount: bendAmount.exactOptional(),
    /** How many times it was bent before it was looked at. */
    times: z.int().min(1).max(100_000).exactOptional(),
    /** What the bake is called; specimens of one bake share its luck. */
    bakeName: name.exactOptional(),
    bake: bakeDone.exactOptional(),
    /** Since the bake. */
    ageHours: range(0, 1_000_000).exactOptional(),
    roomTempC: tempC.exactOptional(),
    result: z.enum(RESULTS).exactOptional(),
    cameBackStraight: z.boolean().exactOptional(),
  })
  .refine((t) => t.otherLineId !== undefined || t.strongShare === 1, {
    error: 'the other line, where the strong line is not all of it',
    path: ['otherLineId'],
  })
  .readonly();

/** One run of an oven with a thermometer where the clay lies. */
export const ovenCheckBody = z
  .strictObject({
    ...common,
    /** What the oven is called. */
    name,
    on: day,
    air: z.enum(AIRS).exactOptional(),
    /** On the dial. */
    setTempC: tempC,
    /** Minutes since it was turned on, and what the thermometer said. */
    readings: z
      .array(z.strictObject({ minute: minutes, tempC }).readonly())
      .min(2)
      .max(BOOK_LIMITS.list)
      .readonly(),
  })
  .refine((o) => withBefore(o.readings).every(([now, before]) => now.minute > before.minute), {
    error: 'minutes that rise',
    path: ['readings'],
  })
  .readonly();
