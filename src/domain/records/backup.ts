import { z } from 'zod';
import { moment, sha256 } from './pieces.ts';

export const BACKUP_FORMAT = 'kneadwell-backup';
/** Raised when a backup of before can no longer be read; so far none. */
export const BACKUP_VERSION = 1;

const bytes = z
  .int()
  .min(0)
  .max(2 ** 46);

/** Names a backup may hold, and no other: nothing in one can reach out of the folder it is taken into. */
export const BACKUP_NAME = /^(?:book\.sqlite|photos\/[0-9a-f]{64}\.[a-z0-9]{1,8})$/;

/** What stands in `manifest.json`, without its seal. */
const bodyShape = {
  format: z.literal(BACKUP_FORMAT),
  version: z.literal(BACKUP_VERSION),
  /** The program that made it, with its version. */
  madeWith: z.string().min(1).max(200),
  madeAt: moment,
  /** Of the book's tables. */
  schema: z.int().min(1).max(1e6),
  /** The newest change it holds. */
  seq: z.int().min(0),
  records: z.int().min(0),
  files: z
    .array(z.strictObject({ name: z.string().regex(BACKUP_NAME), bytes: bytes, sha256 }).readonly())
    .min(1)
    .max(1_000_000)
    .readonly(),
  /** Photos and clay files that records name and that were missing or damaged when it was made. */
  lacking: z.array(sha256).max(1_000_000).readonly(),
};

/**
 * `seal` is the SHA-256 of the rest as canonical JSON, so that damage of the manifest itself is seen.
 * Refuses: unknown keys, a name twice, a name outside BACKUP_NAME, no book
 */
export const backupManifestSchema = z
  .strictObject({ ...bodyShape, seal: sha256 })
  .refine((m) => new Set(m.files.map(({ name }) => name)).size === m.files.length, {
    error: 'every file once',
  })
  .refine((m) => m.files.some(({ name }) => name === 'book.sqlite'), { error: 'a book' })
  .readonly();

export type BackupManifest = z.infer<typeof backupManifestSchema>;
export type BackupManifestBody = Omit<BackupManifest, 'seal'>;
