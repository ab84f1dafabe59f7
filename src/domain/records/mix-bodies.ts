import { z } from 'zod';
import { BASES } from '../../core/mixes/mix-graph.ts';
import { sharerFields } from '../share/sharer.ts';
import { figurePlan } from './figure-plan.ts';
import { BOOK_LIMITS } from './limits.ts';
import {
  bakeDone,
  code,
  common,
  day,
  idSchema,
  lab,
  line,
  massG,
  minutes,
  moneySum,
  name,
  note,
  parts,
  range,
  refTo,
  sha256,
  tag,
} from './pieces.ts';
import { LIGHTS } from './reading.ts';

const tags = z.array(tag).max(BOOK_LIMITS.parts).readonly().exactOptional();

/** Powders beside the clay, by share of the whole weight. */
export const powders = z
  .array(z.strictObject({ powderId: idSchema, share: range(1e-9, 1) }).readonly())
  .max(BOOK_LIMITS.parts)
  .refine((list) => list.reduce((sum, { share }) => sum + share, 0) < 1, {
    error: 'powders that leave room for clay',
  })
  .readonly()
  .exactOptional();

/** A recipe with a code or a name; it need not have a colour yet. */
export const mixBody = z
  .strictObject({
    ...common,
    code: code.exactOptional(),
    name: name.exactOptional(),
    parts,
    basis: z.enum(BASES),
    powders,
    tags,
    status: z.enum(['idea', 'test', 'saved', 'retired']),
    /** The mix this one was changed from. */
    cameFromId: idSchema.exactOptional(),
    /** What was predicted when it was kept, to hold the tile against later. D50, 2 degrees. */
    predicted: z
      .strictObject({ lab, plusMinus: range(0, 100), clayModelId: idSchema.exactOptional() })
      .readonly()
      .exactOptional(),
    /** The colour the mix was made for. D50, 2 degrees. */
    wanted: z.strictObject({ lab, name: name.exactOptional() }).readonly().exactOptional(),
    /** The block that this mix is good enough for, so that the block need not be bought. */
    standsForId: idSchema.exactOptional(),
    /** The line of an old paper book the mix was typed from, in the user's own short names. */
    written: line(BOOK_LIMITS.written).exactOptional(),
  })
  .refine((m) => m.code !== undefined || m.name !== undefined, {
    error: 'a code or a name',
    path: ['code'],
  })
  .readonly();

/** A named list of aims. */
export const paletteBody = z
  .strictObject({
    ...common,
    name,
    tags,
    aims: z
      .array(
        z
          .strictObject({
            id: idSchema,
            name: name.exactOptional(),
            /** D50, 2 degrees. */
            lab,
            toleranceDE00: range(0, 100),
            mixId: idSchema.exactOptional(),
            note: note.exactOptional(),
          })
          .readonly(),
      )
      .max(BOOK_LIMITS.list)
      .refine((aims) => new Set(aims.map(({ id }) => id)).size === aims.length, {
        error: 'aims with ids of their own',
      })
      .readonly(),
  })
  .readonly();

/** What was learned, by the checksum of its sealed file, and what it was learned from. */
export const clayModelBody = z
  .strictObject({
    ...common,
    name,
    learnedOn: day.exactOptional(),
    basis: z.enum(BASES),
    clays: z
      .array(z.strictObject({ name, blockId: idSchema.exactOptional() }).readonly())
      .min(1)
      .max(BOOK_LIMITS.list)
      .readonly(),
    /** Readings as they were then; a changed one has another hash. */
    learnedFrom: z
      .array(z.strictObject({ readingId: idSchema, hash: sha256 }).readonly())
      .max(BOOK_LIMITS.learnedFrom)
      .readonly(),
    sha256,
    bytes: z
      .int()
      .min(1)
      .max(2 ** 30),
  })
  .readonly();

/** How a clay handles: what the hands felt, and what was done about it. */
export const noteBody = z
  .strictObject({
    collectionIds: common.collectionIds,
    of: refTo('line', 'block', 'purchase', 'mix', 'powder'),
    on: day.exactOptional(),
    feels: z
      .array(z.enum(['soft', 'sticky', 'stiff', 'crumbly', 'brittle', 'rubbery']))
      .max(6)
      .readonly(),
    done: z
      .array(
        z
          .strictObject({
            what: z.enum(['rested', 'chilled', 'leached', 'warmed', 'softened', 'conditioned']),
            minutes: minutes.exactOptional(),
            helped: z.boolean().exactOptional(),
          })
          .readonly(),
      )
      .max(20)
      .readonly(),
    text: note.exactOptional(),
  })
  .readonly();

/** A figure: what it will need, and what it was made of, so that its colours can be matched again years later. */
export const figureBody = z
  .strictObject({
    ...common,
    name,
    code: code.exactOptional(),
    tags,
    madeOn: day.exactOptional(),
    paletteId: idSchema.exactOptional(),
    /** Its shapes and colours, as planned. */
    plan: figurePlan.exactOptional(),
    batches: z
      .array(
        z
          .strictObject({
            of: refTo('mix', 'block'),
            /** Of the record when the lump was mixed; the history has what it said then. */
            version: z.int().min(1).max(1e9).exactOptional(),
            massG: massG.exactOptional(),
            purchaseIds: z.array(idSchema).max(BOOK_LIMITS.parts).readonly().exactOptional(),
            tileId: idSchema.exactOptional(),
            /** What was kept of the lump. */
            spare: z
              .strictObject({
                massG: massG.exactOptional(),
                state: z.enum(['raw', 'baked']),
                boxId: idSchema.exactOptional(),
              })
              .readonly()
              .exactOptional(),
            note: note.exactOptional(),
          })
          .readonly(),
      )
      .max(BOOK_LIMITS.list)
      .readonly(),
    bakes: z.array(bakeDone).max(50).readonly(),
    /** Who has it. */
    holder: line(BOOK_LIMITS.name).exactOptional(),
    leftOn: day.exactOptional(),
    price: moneySum.readonly().exactOptional(),
    photoIds: z.array(idSchema).max(BOOK_LIMITS.list).readonly().exactOptional(),
  })
  .readonly();

/** A label the user made, which can be put on records of any kind. */
export const collectionBody = z
  .strictObject({
    name: tag,
    note: common.note,
    /** Who the records came from, and on what terms, where somebody else shared them. */
    sharedBy: z
      .strictObject({
        ...sharerFields,
        title: name,
        /** The seal of the share file, so that the same one is known again. */
        seal: sha256.exactOptional(),
      })
      .readonly()
      .exactOptional(),
  })
  .readonly();

/** The user's display choices and equipment; one record a book, named `settings`. */
export const settingsBody = z
  .strictObject({
    units: z
      .strictObject({
        length: z.enum(['mm', 'in']),
        mass: z.enum(['g', 'oz']),
        temp: z.enum(['C', 'F']),
        volume: z.enum(['ml', 'fl oz']),
      })
      .readonly(),
    currency: moneySum.shape.currency.exactOptional(),
    studio: name.exactOptional(),
    /** What goes with everything the user shares. */
    sharer: z.strictObject(sharerFields).readonly().exactOptional(),
    /** Lights the user judges colours under, besides daylight. */
    lights: z.array(z.enum(LIGHTS)).max(LIGHTS.length).readonly().exactOptional(),
    /** Stamps the user can press into a tile, and how many of each if there are few. */
    stamps: z
      .array(
        z
          .strictObject({ sign: line(8), count: z.int().min(1).max(1000).exactOptional() })
          .readonly(),
      )
      .max(BOOK_LIMITS.list)
      .readonly()
      .exactOptional(),
    /** The user's short names for clays in the shorthand. */
    shortNames: z
      .array(
        z.strictObject({ shortName: line(16), of: refTo('block', 'mix', 'powder') }).readonly(),
      )
      .max(BOOK_LIMITS.list)
      .readonly()
      .exactOptional(),
    cutters: z
      .array(z.strictObject({ name, volumeMm3: range(0.001, 1e7) }).readonly())
      .max(BOOK_LIMITS.parts)
      .readonly()
      .exactOptional(),
    scaleStepG: range(0.0001, 1000).exactOptional(),
  })
  .readonly();
