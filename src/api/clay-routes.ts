import { z } from 'zod';
import { CLAY_CLASSES } from '../core/clay/clay-class.ts';
import { EFFECTS } from '../core/clay/effect-offset.ts';
import { BASES } from '../core/mixes/mix-graph.ts';
import { LIGHTS, OBSERVERS } from '../domain/reading.ts';
import { KINDS } from '../domain/reading-kind.ts';
import { idSchema, lab, line, moment, parts } from '../domain/records/pieces.ts';
import { bookRecordSchema } from '../domain/records/record.ts';
import { type ApiRoutes, idempotent, MOST_BODY_BYTES, preconditions } from './route.ts';

const idParams = z.strictObject({ id: idSchema });

/** Light and observer colours are told under; D50 and 2 degrees where absent. */
export const viewingSchema = z
  .strictObject({ light: z.enum(LIGHTS), observer: z.literal(OBSERVERS) })
  .meta({ id: 'Viewing' });

/** A recipe to look at: in words, by names of the model's clays, or by records of the book. */
export const wantedSchema = z
  .union([
    z.strictObject({ words: z.string().min(1).max(2000) }),
    z.strictObject({ parts, basis: z.enum(BASES) }),
    z.strictObject({ mixId: idSchema }),
  ])
  .meta({ id: 'WantedMix' });

export const predictionSchema = z
  .object({
    of: z.string(),
    /** Under the viewing asked for. */
    lab,
    /** 3 x 3 by rows, CIELAB units squared. */
    covariance: z.array(z.number()).length(9),
    /** Size of the ±, dE00. */
    plusMinus: z.number(),
    /** 36 bands, 0-1. */
    spectrum: z.array(z.number()).length(36),
    /** D50 and 2 degrees, for showing it. */
    shown: lab,
  })
  .meta({ id: 'Prediction' });

const claySchema = z
  .object({
    name: z.string(),
    blockId: idSchema.exactOptional(),
    clayClass: z.enum(CLAY_CLASSES),
    group: z.int(),
    tiles: z.int(),
    ownTiles: z.int(),
    readings: z.partialRecord(z.enum(KINDS), z.int()),
    knownFrom: z.enum(KINDS),
    effect: z.enum(EFFECTS).exactOptional(),
    lab,
    plusMinus: z.number(),
    expectedDE: z.number(),
    colourName: z.string(),
    munsell: z.string(),
    munsellHeld: z.boolean(),
    shown: lab,
  })
  .meta({ id: 'InspectedClay' });

/** Most bytes of a photo; a telephone's largest pictures are a few tens of MB. */
export const MOST_PHOTO_BYTES = 64 * MOST_BODY_BYTES;

export const CLAY_ROUTES = {
  savePhoto: {
    says: 'Keeps a photo as it came; the body is the file, Content-Type its kind',
    who: 'paired',
    headers: idempotent,
    query: z.strictObject({
      id: idSchema.exactOptional(),
      name: line(200).exactOptional(),
      fileName: line(200).exactOptional(),
      takenAt: moment.exactOptional(),
    }),
    body: 'bytes',
    answer: bookRecordSchema,
    status: 201,
    mostBytes: MOST_PHOTO_BYTES,
  },
  photoBytes: {
    says: 'The bytes of a photo, as they came',
    who: 'paired',
    params: idParams,
    headers: preconditions,
    answer: 'bytes',
  },
  inspectClay: {
    says: 'What a clay model knows, and how surely',
    who: 'paired',
    params: idParams,
    query: z.strictObject({
      light: z.enum(LIGHTS).default('D50'),
      observer: z.enum(['2', '10']).default('2'),
    }),
    answer: z.object({
      id: idSchema,
      name: z.string(),
      basis: z.enum(BASES),
      clays: z.array(claySchema),
      /** As docs/formats.md has it for the clay file. */
      report: z.looseObject({ meanDE00: z.number(), medianDE00: z.number() }),
    }),
  },
  clayBytes: {
    says: 'The sealed clay file itself',
    who: 'paired',
    params: idParams,
    headers: preconditions,
    answer: 'bytes',
  },
  predict: {
    says: 'Predicts the colour of mixes, with their ±',
    who: 'paired',
    params: idParams,
    body: z.strictObject({
      wanted: z.array(wantedSchema).min(1).max(200),
      viewing: viewingSchema.exactOptional(),
    }),
    answer: z.object({ predicted: z.array(predictionSchema) }),
  },
} as const satisfies Partial<ApiRoutes>;
