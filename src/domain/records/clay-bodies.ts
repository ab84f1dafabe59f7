import { z } from 'zod';
import { BUYING_CHOICES } from '../../core/find/known-clays.ts';
import { withBefore } from '../../core/numeric/pairs.ts';
import { BOOK_LIMITS } from './limits.ts';
import {
  BLOCK_STATUSES,
  code,
  common,
  day,
  densityGPerCm3,
  idSchema,
  lab,
  line,
  massG,
  minutes,
  moneySum,
  name,
  range,
  refTo,
  STATUSES,
  share,
  tempC,
  volumeMl,
} from './pieces.ts';

/** Clays sold as one family. What its packet says of baking stands here, and only what it says. */
export const lineBody = z
  .strictObject({
    ...common,
    name,
    /** What type of clay: strong, soft, liquid, in the user's words. */
    clayType: line(BOOK_LIMITS.tag).exactOptional(),
    bakeLowC: tempC.exactOptional(),
    bakeHighC: tempC.exactOptional(),
    minutesPer6Mm: minutes.exactOptional(),
    neverExceedC: tempC.exactOptional(),
    densityGPerCm3: densityGPerCm3.exactOptional(),
    /** Standard deviation of the density, if the user weighed the clay more than once. */
    densitySpread: range(0, 5).exactOptional(),
    status: z.enum(STATUSES),
  })
  .refine(
    ({ bakeLowC, bakeHighC, neverExceedC }) => {
      const rising = [bakeLowC, bakeHighC, neverExceedC].filter((t) => t !== undefined);
      return withBefore(rising).every(([t, before]) => t >= before);
    },
    { error: 'temperatures that rise: lowest, highest, never exceed', path: ['neverExceedC'] },
  )
  .readonly();

/** One packaged colour of a line. */
export const blockBody = z
  .strictObject({
    ...common,
    lineId: idSchema,
    /** The user's name for the colour. */
    name,
    code: code.exactOptional(),
    clayType: z.enum(['opaque', 'translucent', 'pearl', 'metallic', 'glitter', 'fluorescent']),
    packageG: massG.exactOptional(),
    price: moneySum.readonly().exactOptional(),
    densityGPerCm3: densityGPerCm3.exactOptional(),
    densitySpread: range(0, 5).exactOptional(),
    status: z.enum(BLOCK_STATUSES),
    /** Bought whatever else could be mixed for it, or never again; and why. */
    buying: z
      .strictObject({
        choice: z.enum(BUYING_CHOICES),
        why: line(BOOK_LIMITS.name).exactOptional(),
      })
      .readonly()
      .exactOptional(),
  })
  .readonly();

/** A colour that is wanted and that no block here has: a wish for the next order. */
export const wishBody = z
  .strictObject({
    ...common,
    /** The colour in words. */
    name,
    /** D50, 2 degrees. */
    lab,
    /** What it is for, or what it would bring. */
    why: line(BOOK_LIMITS.name).exactOptional(),
    /** The line that it would widen. */
    lineId: idSchema.exactOptional(),
    /** The known block to buy, where one has the colour. */
    blockId: idSchema.exactOptional(),
  })
  .readonly();

/** One purchase of a block, or of a powder; makers reformulate. */
export const purchaseBody = z
  .strictObject({
    ...common,
    of: refTo('block', 'powder'),
    boughtOn: day.exactOptional(),
    /** As printed on the package. */
    lotNumber: line(BOOK_LIMITS.tag).exactOptional(),
    packages: range(0, 10_000).exactOptional(),
    price: moneySum.readonly().exactOptional(),
    /** The user found that this lot mixes or looks different from earlier lots. */
    reformulated: z.boolean(),
    boxId: idSchema.exactOptional(),
  })
  .readonly();

const moved = {
  ...common,
  of: refTo('block', 'powder', 'mix'),
  purchaseId: idSchema.exactOptional(),
  on: day,
};
const FLOWS = ['bought', 'made', 'used', 'given', 'got', 'lost', 'scrapped', 'other'] as const;
const signedG = range(-BOOK_LIMITS.massG, BOOK_LIMITS.massG);
const signedMl = range(-BOOK_LIMITS.volumeMl, BOOK_LIMITS.volumeMl);

/**
 * One line of the stock ledger: what came or went, or what the user counted. Stock is never
 * stored, only summed; see `stockOnHand`.
 * Refuses: no amount, or grams and millilitres at once
 */
export const stockEntryBody = z
  .discriminatedUnion('why', [
    z.strictObject({
      ...moved,
      why: z.literal('counted'),
      foundG: massG.exactOptional(),
      foundMl: volumeMl.exactOptional(),
    }),
    z.strictObject({
      ...moved,
      why: z.enum(FLOWS),
      /** More is positive. */
      changeG: signedG.exactOptional(),
      changeMl: signedMl.exactOptional(),
    }),
  ])
  .refine(
    (m) =>
      m.why === 'counted'
        ? (m.foundG === undefined) !== (m.foundMl === undefined)
        : (m.changeG === undefined) !== (m.changeMl === undefined),
    { error: 'an amount in grams or in millilitres, one of the two' },
  )
  .readonly();

/** Powders worked into clay or dusted on it, and paints. */
export const powderBody = z
  .strictObject({
    ...common,
    name,
    code: code.exactOptional(),
    powderType: z.enum(['powder', 'mica', 'glitter', 'chalk', 'paint', 'varnish', 'other']),
    packageG: massG.exactOptional(),
    packageMl: volumeMl.exactOptional(),
    price: moneySum.readonly().exactOptional(),
    /** Share by weight that the user usually mixes in. */
    usualShare: share.exactOptional(),
    coverageCm2PerG: range(0, 1e6).exactOptional(),
    coverageCm2PerMl: range(0, 1e6).exactOptional(),
    status: z.enum(STATUSES),
  })
  .readonly();
