import { randomBytes } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { mkdir, open, readdir, rm, stat } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import type { PassThrough } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import Database from 'better-sqlite3';
import yazl from 'yazl';
import type { BackupMade } from '../book/backup-ports.ts';
import { AppError } from '../core/errors.ts';
import { canonicalJson, sha256Of } from '../domain/canonical-json.ts';
import {
  BACKUP_FORMAT,
  BACKUP_VERSION,
  type BackupManifestBody,
} from '../domain/records/backup.ts';
import { hashFile } from './hash-file.ts';
import { moveFile } from './move-file.ts';
import { readBackup } from './read-backup.ts';
import { flushFolder } from './saved-files.ts';
import { isFull, storeError } from './store-errors.ts';

/** Steps of a backup; a test or a drill may throw at any of them. */
export type BackupStep = 'copy' | 'check' | 'write' | 'flush' | 'read back' | 'rename';

export interface BackupCall {
  /** Path of the backup; nothing may be there. */
  readonly to: string;
  readonly copyBook: (path: string) => Promise<void>;
  readonly photoFolder: string;
  readonly madeWith: string;
  readonly nowEpochMs: number;
  readonly before?: (step: BackupStep) => void;
}

/** One time for all entries: when it was made stands in the manifest. */
const ENTRY_TIME = new Date(Date.UTC(2000, 0, 1));
/** Pictures are packed already. */
const PACKED = /\.(?:jpg|png|heic|webp)$/;

/**
 * A whole book in one file: a copy of the data of one moment, the photos and clay files its records
 * name, and a manifest with their checksums. Written beside, flushed, read back, renamed.
 * Refuses: as `BackupStore.make` does
 * Holds:   a file under the final name was whole when it got it
 */
export async function writeBackup(call: BackupCall): Promise<BackupMade> {
  const { to, photoFolder, nowEpochMs, before = () => {} } = call;
  const folder = dirname(resolve(to));
  if ((await stat(to).catch(() => undefined)) !== undefined) throw taken(to);
  if ((await stat(folder).catch(() => undefined))?.isDirectory() !== true) {
    throw noFolder(folder);
  }
  const beside = join(folder, `.kneadwell-${randomBytes(8).toString('hex')}`);
  try {
    await mkdir(beside, { mode: 0o700 });
    const copy = join(beside, 'book.sqlite');
    before('copy');
    await call.copyBook(copy);
    before('check');
    const found = lookInto(copy);
    const kept = await keptFiles(photoFolder, found.named);
    const body: BackupManifestBody = {
      format: BACKUP_FORMAT,
      version: BACKUP_VERSION,
      madeWith: call.madeWith,
      madeAt: new Date(nowEpochMs).toISOString(),
      schema: found.schema,
      seq: found.seq,
      records: found.records,
      files: [{ name: 'book.sqlite', ...(await hashFile(copy)) }, ...kept.files],
      lacking: kept.lacking,
    };
    const zipped = join(beside, 'backup.zip');
    before('write');
    await writeZip(zipped, body, (name) =>
      name === 'book.sqlite' ? copy : join(photoFolder, name.slice('photos/'.length)),
    );
    before('flush');
    const file = await open(zipped, 'r+');
    await file.sync().finally(() => file.close());
    before('read back');
    await readBackup(zipped);
    const { size: bytes } = await stat(zipped);
    before('rename');
    moveFile(zipped, to);
    await flushFolder(folder);
    const { madeAt, seq, records, lacking, files } = body;
    return { path: to, bytes, manifest: { madeAt, seq, records, lacking, files: files.length } };
  } catch (thrown) {
    throw backupFault(thrown, to);
  } finally {
    await rm(beside, { recursive: true, force: true });
  }
}

/** What the copy says of itself. Refuses: a copy the engine finds damaged -> book-damaged */
function lookInto(path: string) {
  try {
    const raw = new Database(path, { readonly: true });
    try {
      const found = raw.pragma('quick_check(1)', { simple: true });
      if (found !== 'ok') throw bookDamaged(String(found));
      const one = (sql: string) => raw.prepare(sql).pluck().get() as number;
      const named = raw
        .prepare(
          "select distinct json_extract(body, '$.sha256') from record where kind in ('photo', 'clay-model')",
        )
        .pluck()
        .all() as string[];
      return {
        schema: raw.pragma('user_version', { simple: true }) as number,
        seq: one('select coalesce(max(seq), 0) from journal_group'),
        records: one('select count(*) from record'),
        named: named.sort(),
      };
    } finally {
      raw.close();
    }
  } catch (thrown) {
    throw storeError(thrown, path);
  }
}

async function keptFiles(photoFolder: string, named: readonly string[]) {
  const names = new Map((await readdir(photoFolder)).map((name) => [name.slice(0, 64), name]));
  const files: BackupManifestBody['files'][number][] = [];
  const lacking: string[] = [];
  for (const sha of named) {
    const name = names.get(sha);
    const read =
      name === undefined
        ? undefined
        : await hashFile(join(photoFolder, name)).catch(() => undefined);
    if (read?.sha256 === sha) files.push({ name: `photos/${name}`, ...read });
    else lacking.push(sha);
  }
  return { files, lacking };
}

async function writeZip(
  path: string,
  body: BackupManifestBody,
  placeOf: (name: string) => string,
): Promise<void> {
  const zip = new yazl.ZipFile();
  const options = (name: string) => ({
    mtime: ENTRY_TIME,
    mode: 0o100600,
    compress: !PACKED.test(name),
    forceDosTimestamp: true,
  });
  const manifest = { ...body, seal: sha256Of(canonicalJson(body)) };
  const text = `${JSON.stringify(manifest, undefined, 1)}\n`;
  zip.addBuffer(Buffer.from(text), 'manifest.json', options('manifest.json'));
  for (const { name } of body.files) zip.addFile(placeOf(name), name, options(name));
  zip.end();
  const packed = zip.outputStream as PassThrough;
  // The packer reports a file that can no longer be read; the stream it fills does not.
  zip.on('error', (fault: Error) => packed.destroy(fault));
  await pipeline(packed, createWriteStream(path, { flags: 'wx', mode: 0o600 }));
}

function taken(path: string): AppError {
  return new AppError({
    code: 'out-not-free',
    kind: 'conflict',
    detail: `${path} is there already; it would be lost.`,
    hint: 'Give the backup another name.',
  });
}

/** A folder is never made for a backup: it may be the place of a disk that is not connected. */
function noFolder(folder: string): AppError {
  return new AppError({
    code: 'backup-not-made',
    kind: 'not-found',
    detail: `There is no folder ${folder}. No backup was made.`,
    hint: 'If the folder is on another disk, connect that disk first. Otherwise make the folder, then try again.',
  });
}

function bookDamaged(found: string): AppError {
  return new AppError({
    code: 'book-damaged',
    kind: 'unavailable',
    detail: `The book is damaged (${found.slice(0, 200)}), so no backup was made of it.`,
    hint: 'Do not change the file. Restore the newest backup beside it. Older backups are untouched.',
  });
}

function backupFault(thrown: unknown, path: string): unknown {
  if (thrown instanceof AppError) return thrown;
  const { code } = thrown as NodeJS.ErrnoException;
  if (code === undefined) return thrown;
  const full = isFull(thrown);
  return new AppError({
    code: full ? 'disk-full' : 'backup-not-made',
    kind: 'unavailable',
    detail: full
      ? `There is no room left on the disk for ${path}. No backup was made.`
      : `The backup could not be written to ${path} (${code}).`,
    hint: full
      ? 'Free some room, or choose another disk. The book itself is safe.'
      : 'Check that the folder exists and that you may write to it.',
    retry: full,
    cause: thrown,
  });
}
