import { createHash } from 'node:crypto';
import { mkdir, open, stat } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { Readable } from 'node:stream';
import yauzl, { type Entry, type ZipFile } from 'yauzl';
import { AppError } from '../core/errors.ts';
import { canonicalJson, sha256Of } from '../domain/canonical-json.ts';
import {
  BACKUP_FORMAT,
  BACKUP_NAME,
  type BackupManifest,
  backupManifestSchema,
} from '../domain/records/backup.ts';
import { isFull } from './store-errors.ts';

const MANIFEST = 'manifest.json';
/** A manifest of a million files; past it, an attack. */
const MANIFEST_BYTES = 256 * 1024 * 1024;
const MOST_ENTRIES = 1_000_001;
/** Records pack to about a tenth; pictures hardly at all. Source: measured on filled books. */
const MOST_SWELLING = 200;
const SWELLING_FREE_BYTES = 1024 * 1024;

/**
 * Reads a backup to its end and holds every byte of it to its checksum; with `into`, takes it out into
 * that folder, flushed. The names it may hold are few and fixed, so nothing can land anywhere else.
 * Refuses: no backup -> not-a-backup; a newer one -> backup-newer; anything torn, changed, doubled,
 *          linked, locked, swollen, missing or too much -> backup-damaged (all bad-input)
 * Holds:   nothing outside `into` is ever written; no more bytes than the manifest says are unpacked
 */
export async function readBackup(path: string, into?: string): Promise<BackupManifest> {
  const zip = await openZip(path);
  try {
    const entries = await listed(zip, path);
    const manifest = await manifestOf(zip, entries, path);
    const wanted = new Map(manifest.files.map((file) => [file.name, file]));
    for (const name of entries.keys()) {
      if (name !== MANIFEST && !wanted.has(name)) {
        throw damaged(path, `it holds ${shown(name)}, which its manifest does not name`);
      }
    }
    for (const { name, bytes, sha256 } of manifest.files) {
      const entry = entries.get(name);
      if (entry === undefined) throw damaged(path, `${name} is missing`);
      if (entry.uncompressedSize !== bytes) throw damaged(path, `${name} has another length`);
      const target = into === undefined ? undefined : join(into, name);
      const read = await unpack(zip, entry, path, target);
      if (read !== sha256) throw damaged(path, `${name} has another checksum`);
    }
    return manifest;
  } finally {
    zip.close();
  }
}

async function openZip(path: string): Promise<ZipFile> {
  const kind = await stat(path).catch((thrown: NodeJS.ErrnoException) => {
    throw new AppError({
      code: 'file-not-read',
      kind: thrown.code === 'ENOENT' || thrown.code === 'ENOTDIR' ? 'not-found' : 'unavailable',
      detail: `${path} could not be read${thrown.code === 'ENOENT' ? ': there is nothing of that name' : ` (${thrown.code})`}.`,
      hint: 'Check the name and the folder.',
      cause: thrown,
    });
  });
  if (!kind.isFile()) throw notABackup(path, 'it is no file');
  try {
    return await yauzl.openPromise(path, {
      lazyEntries: true,
      autoClose: false,
      validateEntrySizes: true,
      strictFileNames: true,
    });
  } catch (thrown) {
    throw fromZip(path, thrown, true);
  }
}

/** All entries by name, none of them opened yet. */
async function listed(zip: ZipFile, path: string): Promise<ReadonlyMap<string, Entry>> {
  if (zip.entryCount > MOST_ENTRIES) throw damaged(path, `it holds ${zip.entryCount} files`);
  const entries = new Map<string, Entry>();
  try {
    for await (const entry of zip.eachEntry()) {
      const { fileName } = entry;
      if (fileName !== MANIFEST && !BACKUP_NAME.test(fileName)) {
        throw damaged(path, `it holds ${shown(fileName)}, which no backup does`);
      }
      if (entries.has(fileName)) throw damaged(path, `it holds ${shown(fileName)} twice`);
      // Upper half: the mode as Unix has it; only plain files, or no mode given. Source: [APPNOTE] 4.4.15
      const mode = (entry.externalFileAttributes >>> 16) & 0o170000;
      if (mode !== 0 && mode !== 0o100000) {
        throw damaged(path, `${shown(fileName)} is a link or a device`);
      }
      if (entry.isEncrypted() || !entry.canDecodeFileData()) {
        throw damaged(path, `${shown(fileName)} is packed in a way no backup is`);
      }
      const { compressedSize, uncompressedSize } = entry;
      if (uncompressedSize > MOST_SWELLING * compressedSize + SWELLING_FREE_BYTES) {
        throw damaged(path, `${shown(fileName)} would swell to ${uncompressedSize} bytes`);
      }
      entries.set(fileName, entry);
    }
  } catch (thrown) {
    throw fromZip(path, thrown, false);
  }
  return entries;
}

async function manifestOf(
  zip: ZipFile,
  entries: ReadonlyMap<string, Entry>,
  path: string,
): Promise<BackupManifest> {
  const entry = entries.get(MANIFEST);
  if (entry === undefined) throw notABackup(path, `it has no ${MANIFEST}`);
  if (entry.uncompressedSize > MANIFEST_BYTES) throw damaged(path, 'its manifest is too long');
  const pieces: Buffer[] = [];
  try {
    for await (const piece of await streamOf(zip, entry, path)) pieces.push(piece as Buffer);
  } catch (thrown) {
    throw fromZip(path, thrown, false);
  }
  let read: unknown;
  try {
    read = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(Buffer.concat(pieces)));
  } catch (thrown) {
    throw damaged(path, 'its manifest cannot be read', thrown);
  }
  const { format, version } = (read ?? {}) as { format?: unknown; version?: unknown };
  if (format === BACKUP_FORMAT && typeof version === 'number' && version > 1) {
    throw new AppError({
      code: 'backup-newer',
      kind: 'bad-input',
      detail: `${path} was made by a newer Kneadwell.`,
      hint: 'Install the newer program, and restore it with that.',
    });
  }
  const held = backupManifestSchema.safeParse(read);
  if (!held.success) throw damaged(path, 'its manifest does not fit', held.error);
  const { seal, ...body } = held.data;
  if (sha256Of(canonicalJson(body)) !== seal) throw damaged(path, 'its manifest was changed');
  return held.data;
}

/** Takes one entry out, or only reads it; its SHA-256. */
async function unpack(
  zip: ZipFile,
  entry: Entry,
  path: string,
  target: string | undefined,
): Promise<string> {
  const hash = createHash('sha256');
  const stream = await streamOf(zip, entry, path);
  if (target !== undefined) await mkdir(dirname(target), { recursive: true });
  const file = target === undefined ? undefined : await open(target, 'wx', 0o600);
  try {
    // The length was held to the manifest, and the reader stops at that many bytes.
    for await (const piece of stream) {
      hash.update(piece as Buffer);
      await file?.writeFile(piece as Buffer);
    }
    await file?.sync();
  } catch (thrown) {
    throw fromZip(path, thrown, false);
  } finally {
    await file?.close();
  }
  return hash.digest('hex');
}

async function streamOf(zip: ZipFile, entry: Entry, path: string): Promise<Readable> {
  try {
    return await zip.openReadStreamPromise(entry);
  } catch (thrown) {
    throw fromZip(path, thrown, false);
  }
}

/** The unpacker's complaint as ours; faults of the disk keep their own words. */
function fromZip(path: string, thrown: unknown, opening: boolean): unknown {
  if (thrown instanceof AppError) return thrown;
  const { code } = thrown as NodeJS.ErrnoException;
  if (code !== undefined && /^E[A-Z]+$/.test(code)) {
    const full = isFull(thrown);
    return new AppError({
      code: full ? 'disk-full' : 'disk-trouble',
      kind: 'unavailable',
      detail: full
        ? `There is no room left on the disk to unpack ${path}. Nothing was changed.`
        : `${path} could not be unpacked (${code}). Nothing was changed.`,
      hint: full ? 'Free some room, and do it again.' : 'Look after the disk, and do it again.',
      retry: true,
      cause: thrown,
    });
  }
  return opening
    ? notABackup(path, 'the archive is not complete', thrown)
    : damaged(path, 'it cannot be unpacked', thrown);
}

function damaged(path: string, why: string, cause?: unknown): AppError {
  return new AppError({
    code: 'backup-damaged',
    kind: 'bad-input',
    detail: `The backup ${path} is damaged: ${why}.`,
    hint: 'Nothing of it was used. Take another backup.',
    cause,
  });
}

function notABackup(path: string, why: string, cause?: unknown): AppError {
  return new AppError({
    code: 'not-a-backup',
    kind: 'bad-input',
    detail: `${path} is no backup of a mix book, or is damaged: ${why}.`,
    hint: 'Choose a backup that Kneadwell made.',
    cause,
  });
}

function shown(name: string): string {
  return `"${name.slice(0, 80).replace(/[\p{Cc}\p{Cs}]/gu, '·')}"`;
}
