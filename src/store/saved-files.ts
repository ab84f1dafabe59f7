import { randomBytes } from 'node:crypto';
import { mkdirSync } from 'node:fs';
import { open, readdir, readFile, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { SavedFiles } from '../book/ports.ts';
import { AppError } from '../core/errors.ts';
import { sha256Of } from '../domain/canonical-json.ts';
import { moveFile } from './move-file.ts';
import { isFull } from './store-errors.ts';

/** Steps on the way to the disk; a test or a drill may throw at any of them. */
export type BeforeStep = (step: 'write' | 'flush' | 'rename' | 'flush folder') => void;

/**
 * Files in one folder, each named by its SHA-256. Written beside, flushed, renamed, and the folder
 * flushed, so that a name stands only for whole bytes.
 */
export function savedFilesIn(folder: string, before: BeforeStep = () => {}): SavedFiles {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const nameOf = async (sha256: string) => {
    // A folder that is gone has no files; whoever writes to it hears so then.
    const names = await readdir(folder).catch(() => []);
    return names.find((name) => name.startsWith(`${sha256}.`));
  };
  return {
    async put(bytes, ending) {
      const sha256 = sha256Of(bytes);
      const file = { sha256, bytes: bytes.length };
      if ((await nameOf(sha256)) !== undefined) return file;
      const beside = join(folder, `.${randomBytes(8).toString('hex')}.new`);
      try {
        before('write');
        const file = await open(beside, 'wx', 0o600);
        try {
          await file.writeFile(bytes);
          before('flush');
          await file.sync();
        } finally {
          await file.close();
        }
        before('rename');
        moveFile(beside, join(folder, `${sha256}.${ending}`));
        before('flush folder');
        await flushFolder(folder);
      } catch (thrown) {
        await rm(beside, { force: true });
        throw notSaved(folder, thrown);
      }
      return file;
    },
    async get(sha256) {
      const name = await nameOf(sha256);
      if (name === undefined) throw fileMissing(folder, sha256);
      const bytes = await readFile(join(folder, name));
      if (sha256Of(bytes) !== sha256) throw fileDamaged(join(folder, name));
      return bytes;
    },
    async list() {
      const names = (await readdir(folder)).filter((name) => /^[0-9a-f]{64}\./.test(name));
      return names.map((name) => name.slice(0, 64)).sort();
    },
    async remove(sha256) {
      const name = await nameOf(sha256);
      if (name !== undefined) await rm(join(folder, name), { force: true });
    },
  };
}

/** What a crash left half-written; older than `ageMs`, so that nothing being written is touched. */
export async function sweepHalfWritten(folder: string, nowEpochMs: number, ageMs: number) {
  for (const name of await readdir(folder)) {
    if (!/^\.[0-9a-f]{16}\.new$/.test(name)) continue;
    const { mtimeMs } = await stat(join(folder, name));
    if (nowEpochMs - mtimeMs > ageMs) await rm(join(folder, name), { force: true });
  }
}

/** A rename is on the disk once its folder is; where folders cannot be flushed, the system does it. */
export async function flushFolder(folder: string): Promise<void> {
  const handle = await open(folder, 'r').catch(() => undefined);
  if (handle === undefined) return;
  try {
    await handle.sync();
  } catch (thrown) {
    const { code } = thrown as NodeJS.ErrnoException;
    if (code !== 'EINVAL' && code !== 'EPERM' && code !== 'EISDIR') throw thrown;
  } finally {
    await handle.close();
  }
}

/** The error for a file that could not be written, by the reason the disk gave. */
export function notSaved(folder: string, thrown: unknown): unknown {
  if (thrown instanceof AppError) return thrown;
  const { code } = thrown as NodeJS.ErrnoException;
  const full = isFull(thrown);
  return new AppError({
    code: full ? 'disk-full' : 'file-not-kept',
    kind: 'unavailable',
    detail: full
      ? `There is no room left on the disk for ${folder}. Nothing was kept.`
      : `The file could not be written to ${folder}${code === undefined ? '' : ` (${code})`}. Nothing was kept.`,
    hint: full
      ? 'Free some room, and do it again. What was saved before is safe.'
      : 'Check that you may write to the folder, and try again.',
    retry: full,
    cause: thrown,
  });
}

function fileMissing(folder: string, sha256: string): AppError {
  return new AppError({
    code: 'file-missing',
    kind: 'not-found',
    detail: `${folder} holds no file with the checksum ${sha256}.`,
    hint: 'Restore it from a backup, or delete the record that names it.',
    more: { sha256 },
  });
}

function fileDamaged(path: string): AppError {
  return new AppError({
    code: 'file-damaged',
    kind: 'unavailable',
    detail: `${path} is damaged: it no longer has the checksum it is named by.`,
    hint: 'Restore it from a backup.',
  });
}
