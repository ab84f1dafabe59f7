import { z } from 'zod';
import { idSchema, line, moment } from '../domain/records/pieces.ts';
import { changedSchema, kindSchema } from './book-routes.ts';
import { type ApiRoutes, idempotent } from './route.ts';

const holdingsSchema = z
  .object({
    counts: z.array(
      z.object({
        kind: kindSchema,
        live: z.int().min(0),
      }),
    ),
    studio: z.string().exactOptional(),
    newest: z.object({ seq: z.int().min(0), at: moment, what: z.string() }).exactOptional(),
  })
  .meta({ id: 'RecordCounts' });

const offerSchema = z
  .object({
    id: idSchema,
    fileName: z.string(),
    bytes: z.int().min(0),
    madeAt: moment,
    madeWith: z.string(),
    photos: z.int().min(0),
    /** Photos it is known to lack. */
    lacking: z.int().min(0),
    holds: holdingsSchema,
    /** What it would be put in place of. */
    now: holdingsSchema,
    /** Changes of the book that the backup does not have; absent where it is of another book. */
    newerChanges: z.int().exactOptional(),
  })
  .meta({ id: 'RestoreOffer' });
export type RestoreOfferAnswer = z.output<typeof offerSchema>;

/** The names backups get in the backup folder; no other name is accepted. */
const backupName = z
  .string()
  .max(80)
  .regex(/^kneadwell-[0-9A-Za-z-]+\.zip$/);

export const BACKUP_ROUTES = {
  listBackups: {
    says: 'Where the book lies, its own backups, and how the last restore ended',
    who: 'owner',
    answer: z.object({
      /** Folder of the book. */
      folder: z.string(),
      backups: z.array(
        z.object({
          name: z.string(),
          at: moment,
          daily: z.boolean(),
          bytes: z.int().min(0),
        }),
      ),
      restored: z
        .object({
          id: idSchema,
          at: moment,
          fileName: z.string(),
          refused: z.object({ detail: z.string(), hint: z.string() }).exactOptional(),
        })
        .exactOptional(),
    }),
  },
  backupBytes: {
    says: 'One of the book’s own backups, whole',
    who: 'owner',
    params: z.strictObject({ name: backupName }),
    answer: 'bytes',
  },
  lookAtBackup: {
    says: 'Looks through one of the book’s own backups, to be restored after a yes',
    who: 'owner',
    params: z.strictObject({ name: backupName }),
    answer: offerSchema,
    status: 201,
  },
  offerBackup: {
    says: 'Takes a backup to be looked through; the body is the file, Content-Type application/zip',
    who: 'owner',
    query: z.strictObject({ fileName: line(200).exactOptional() }),
    body: 'stream',
    answer: offerSchema,
    status: 201,
  },
  restoreBook: {
    says: 'Backs up what is, then puts the book that was looked through in its place',
    who: 'owner',
    params: z.strictObject({ id: idSchema }),
    answer: z.object({
      /** The backup of what was, beside the others. */
      keptAs: z.string(),
    }),
    status: 202,
  },
  dropRestore: {
    says: 'Lays a backup away that was looked through and is not wanted',
    who: 'owner',
    params: z.strictObject({ id: idSchema }),
    answer: 'nothing',
    status: 204,
  },
  exportBook: {
    says: 'All records as one JSON file, or those of one kind as a table (CSV)',
    who: 'paired',
    query: z.strictObject({
      as: z.enum(['json', 'csv']).default('json'),
      kind: kindSchema.exactOptional(),
    }),
    answer: 'bytes',
  },
  demo: {
    says: 'Whether the invented studio may move in, or is in',
    who: 'paired',
    answer: z.object({
      /** The book is empty. */
      offered: z.boolean(),
      /** Records of it that are in the book. */
      inside: z.int().min(0),
      /** Records of the user that would be deleted with the demo studio, because they need one of its records. */
      leaning: z.int().min(0),
    }),
  },
  moveDemoIn: {
    says: 'The invented studio moves into an empty book, as one change',
    who: 'paired',
    headers: idempotent,
    answer: changedSchema,
  },
  clearDemoOut: {
    says: 'The invented studio goes to the bin with what needs it, as one change',
    who: 'paired',
    answer: changedSchema,
  },
} as const satisfies Partial<ApiRoutes>;
