import { z } from 'zod';
import { idSchema, line, moment, name } from '../domain/records/pieces.ts';
import { PHOTO_TYPES, readAs } from '../domain/records/sample-bodies.ts';
import { traySheet } from '../verbs/tray-sheet.ts';
import { changedSchema, sentChangeSchema } from './book-routes.ts';
import { MOST_PHOTO_BYTES } from './clay-routes.ts';
import { type ApiRoutes, asList, idempotent, MOST_BODY_BYTES } from './route.ts';

const idParams = z.strictObject({ id: idSchema });
const pixels = z.int().min(1);

/** A photo to be read; until the user accepts the photo, no record, journal or backup holds it. */
export const photoDraftSchema = z
  .object({
    id: idSchema,
    fileName: z.string(),
    mediaType: z.enum(Object.keys(PHOTO_TYPES) as (keyof typeof PHOTO_TYPES)[]),
    bytes: z.int().min(1),
    /** Upright. */
    widthPx: pixels,
    heightPx: pixels,
    /** Of the small picture to show, upright and in sRGB. */
    preview: z.object({ widthPx: pixels, heightPx: pixels }),
    notes: z.array(z.string()),
    createdAt: moment,
    /** When it is thrown away. */
    expiresAt: moment,
  })
  .meta({ id: 'PhotoDraft' });
export type PhotoDraft = z.output<typeof photoDraftSchema>;

/** Most photos that one change of the book takes in. */
export const MOST_PHOTOS_ACCEPTED = 20;

export const PHOTO_ROUTES = {
  addPhotoDraft: {
    says: 'Lays a photo ready to be read; the body is the file. Nothing is kept in the book',
    who: 'paired',
    query: z.strictObject({ fileName: line(200).exactOptional() }),
    body: 'bytes',
    answer: photoDraftSchema,
    status: 201,
    mostBytes: MOST_PHOTO_BYTES,
  },
  getPhotoDraft: {
    says: 'A photo that waits to be accepted',
    who: 'paired',
    params: idParams,
    answer: photoDraftSchema,
  },
  dropPhotoDraft: {
    says: 'Throws a photo away that waits to be accepted',
    who: 'paired',
    params: idParams,
    answer: 'nothing',
    status: 204,
  },
  draftPreview: {
    says: 'Such a photo made small, as JPEG in sRGB, upright',
    who: 'paired',
    params: idParams,
    answer: 'bytes',
  },
  photoPreview: {
    says: 'A kept photo made small, as JPEG in sRGB, upright',
    who: 'paired',
    params: idParams,
    answer: 'bytes',
  },
  acceptPhotos: {
    says: 'Keeps photos that waited, and changes the book with them: all of it or nothing',
    who: 'paired',
    headers: idempotent,
    body: z.strictObject({
      photos: z
        .array(
          z.strictObject({
            draftId: idSchema,
            /** Of the record it becomes, for the steps to name. */
            id: idSchema,
            name: name.exactOptional(),
            takenAt: moment.exactOptional(),
            readAs: readAs.exactOptional(),
          }),
        )
        .min(1)
        .max(MOST_PHOTOS_ACCEPTED),
      what: sentChangeSchema.shape.what,
      steps: z.array(sentChangeSchema.shape.steps.unwrap().element).max(1000),
    }),
    answer: changedSchema,
    mostBytes: 4 * MOST_BODY_BYTES,
  },
  traySheet: {
    says: 'The sheet to lay tiles on for a photo, as PDF in true size',
    who: 'paired',
    query: traySheet.question.extend({ codes: asList(traySheet.question.shape.codes) }),
    answer: 'bytes',
  },
} as const satisfies Partial<ApiRoutes>;
