import { z } from 'zod';
import { day, line, sha256 } from '../domain/records/pieces.ts';
import { bookRecordSchema } from '../domain/records/record.ts';
import { PHOTO_TYPES } from '../domain/records/sample-bodies.ts';
import { changedSchema } from './book-routes.ts';
import { type ApiRoutes, MOST_BODY_BYTES } from './route.ts';

const endings = ['json', ...new Set(Object.values(PHOTO_TYPES))] as const;

/** What the program itself does at a book that its server has open. */
export const FOLDER_ROUTES = {
  saveLearned: {
    says: 'Keeps a clay file learned elsewhere from readings of the book; the body is the file',
    who: 'folder',
    query: z.strictObject({ name: line(200), learnedOn: day }),
    body: 'bytes',
    answer: changedSchema,
    status: 201,
    mostBytes: 64 * MOST_BODY_BYTES,
  },
  bringFile: {
    says: 'Brings the bytes of a photo or clay model whose record comes next; the body is the file',
    who: 'folder',
    query: z.strictObject({ ending: z.enum(endings) }),
    body: 'bytes',
    answer: z.object({ sha256 }),
    status: 201,
    mostBytes: 64 * MOST_BODY_BYTES,
  },
  importRecords: {
    says: 'Takes in the records of an export as they are, all of them or none',
    who: 'folder',
    body: z.strictObject({
      records: z.array(bookRecordSchema).min(1),
      what: line(300),
      /** Put theirs over others of the same id. */
      replace: z.boolean().exactOptional(),
    }),
    answer: z.object({
      fresh: z.int(),
      replaced: z.int(),
      same: z.int(),
      /** Number of the change; absent where there was nothing to change. */
      seq: z.int().exactOptional(),
    }),
    mostBytes: 256 * MOST_BODY_BYTES,
  },
} as const satisfies Partial<ApiRoutes>;
