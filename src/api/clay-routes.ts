import { z } from 'zod';
import { BASES } from '../core/mixes/mix-graph.ts';
import { explanationsSchema } from '../domain/explanation.ts';
import { powders } from '../domain/records/mix-bodies.ts';
import { idSchema, line, moment, parts } from '../domain/records/pieces.ts';
import { bookRecordSchema } from '../domain/records/record.ts';
import { inspectedClay } from '../verbs/inspect.ts';
import { predict } from '../verbs/predict.ts';
import { viewingFields } from '../verbs/question-parts.ts';
import { type ApiRoutes, idempotent, MOST_BODY_BYTES, preconditions } from './route.ts';

const idParams = z.strictObject({ id: idSchema });

/** A recipe to look at: in words, by names of the model's clays, or by records of the book. */
export const wantedSchema = z
  .union([
    z.strictObject({ words: z.string().min(1).max(2000) }),
    z.strictObject({ parts, basis: z.enum(BASES), powders }),
    z.strictObject({ mixId: idSchema }),
  ])
  .meta({ id: 'WantedMix' });

const claySchema = inspectedClay.extend({ blockId: idSchema.exactOptional() }).meta({
  id: 'InspectedClay',
});

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
    says: 'What a clay model knows, and how certain that is',
    who: 'paired',
    params: idParams,
    query: z.strictObject({
      light: viewingFields.light,
      observer: z.enum(['2', '10']).default('2'),
    }),
    answer: z.object({
      id: idSchema,
      name: z.string(),
      basis: z.enum(BASES),
      clays: z.array(claySchema),
      /** As docs/formats.md has it for the clay file. */
      report: z.looseObject({ meanDE00: z.number(), medianDE00: z.number() }),
      /** What may be wrong with the tiles, the likeliest first. */
      explanations: explanationsSchema.exactOptional(),
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
    body: predict.question.extend({ wanted: z.array(wantedSchema).min(1).max(200) }),
    answer: predict.answer,
  },
} as const satisfies Partial<ApiRoutes>;
