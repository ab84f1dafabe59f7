import {
  closeSync,
  existsSync,
  fsyncSync,
  openSync,
  readFileSync,
  realpathSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import type { Files } from '../cli/ports.ts';
import { AppError, type FaultKind } from '../core/errors.ts';
import { moveFile } from '../store/move-file.ts';

/** Past this no file of ours goes; reading it would only fill the memory. */
const MOST_BYTES = 256 * 1024 * 1024;

/** Calls of the system that a test may replace, to see what a full disk does. */
export interface DiskCalls {
  readonly write: (descriptor: number, bytes: Uint8Array) => void;
  readonly sync: (descriptor: number) => void;
}

const SYSTEM: DiskCalls = { write: writeFileSync, sync: fsyncSync };

/** Files on the disk of this machine. */
export function diskFiles(calls: DiskCalls = SYSTEM): Files {
  return {
    async read(path) {
      try {
        const { size } = statSync(path);
        if (size > MOST_BYTES) throw tooLarge(path);
        return readFileSync(path);
      } catch (thrown) {
        throw fileFault(path, 'read', thrown);
      }
    },
    async write(path, bytes) {
      try {
        const { kind } = lookAt(path);
        // A device or a pipe takes bytes as they come; renaming would put a file in its place.
        if (kind === 'other') writeFileSync(path, bytes);
        else await undisturbed(() => writeWhole(path, bytes, calls));
      } catch (thrown) {
        throw fileFault(path, 'written', thrown);
      }
    },
    async look(path) {
      return lookAt(path);
    },
  };
}

function lookAt(path: string): Awaited<ReturnType<Files['look']>> {
  const stats = statSync(path, { throwIfNoEntry: false });
  if (stats === undefined) return { identity: resolve(path), kind: 'nothing' };
  const kind = stats.isFile() ? 'file' : stats.isDirectory() ? 'folder' : 'other';
  // Device and number stay the same by whatever link or spelling a file is reached.
  return { identity: `${stats.dev}:${stats.ino}`, kind };
}

/** Does short work whole: a key that would end the program is heard when it is done. */
async function undisturbed(work: () => void): Promise<void> {
  const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;
  let heard: NodeJS.Signals | undefined;
  const hear = (signal: NodeJS.Signals) => {
    heard = signal;
  };
  for (const signal of signals) process.on(signal, hear);
  try {
    work();
    // Signals are handed over between turns of the event loop.
    await setImmediate();
  } finally {
    for (const signal of signals) process.off(signal, hear);
  }
  if (heard !== undefined) process.kill(process.pid, heard);
}

/** Beside the file, flushed, then renamed over it: whoever looks sees the old file or the new one. */
function writeWhole(path: string, bytes: Uint8Array, calls: DiskCalls): void {
  const target = existsSync(path) ? realpathSync(path) : resolve(path);
  if (statSync(target, { throwIfNoEntry: false })?.isDirectory()) {
    throw Object.assign(new Error('a folder'), { code: 'EISDIR' });
  }
  const folder = dirname(target);
  const beside = join(folder, `.${basename(target)}.${process.pid}.tmp`);
  try {
    const descriptor = openSync(beside, 'w');
    try {
      calls.write(descriptor, bytes);
      calls.sync(descriptor);
    } finally {
      closeSync(descriptor);
    }
    moveFile(beside, target);
  } catch (thrown) {
    rmSync(beside, { force: true });
    throw thrown;
  }
  syncFolder(folder);
}

/** Makes the new name itself last; not every system can open a folder, and none needs to. */
function syncFolder(folder: string): void {
  try {
    const descriptor = openSync(folder, 'r');
    try {
      fsyncSync(descriptor);
    } finally {
      closeSync(descriptor);
    }
  } catch {
    // The file itself is whole and flushed; only how soon its name is safe differs.
  }
}

const WHY: Readonly<Record<string, readonly [kind: FaultKind, why: string, hint: string]>> = {
  ENOENT: ['not-found', 'there is nothing of that name', 'Check the name and the folder.'],
  ENOTDIR: ['not-found', 'part of its path is no folder', 'Check the name and the folder.'],
  EISDIR: ['bad-input', 'it is a folder', 'Give the name of a file.'],
  EACCES: ['unavailable', 'the system does not allow it', 'Check who may use the file and folder.'],
  EPERM: ['unavailable', 'the system does not allow it', 'Check who may use the file and folder.'],
  EROFS: ['unavailable', 'the disk can only be read', 'Choose another place.'],
  ENOSPC: ['unavailable', 'the disk is full', 'Make room and try again; nothing was changed.'],
  EDQUOT: ['unavailable', 'the disk is full', 'Make room and try again; nothing was changed.'],
  EIO: ['unavailable', 'the disk did not answer as it should', 'Check the disk, then try again.'],
  EMFILE: ['unavailable', 'too many files are open', 'Close other programs and try again.'],
  ENAMETOOLONG: ['bad-input', 'its name is too long', 'Choose a shorter name.'],
  ELOOP: ['bad-input', 'its links run in a circle', 'Give the file itself.'],
};

function fileFault(path: string, done: 'read' | 'written', thrown: unknown): unknown {
  if (thrown instanceof AppError) return thrown;
  const { code } = thrown as NodeJS.ErrnoException;
  if (code === undefined) return thrown;
  const [kind, why, hint] = WHY[code] ?? ['unavailable', `the system says ${code}`, 'Try again.'];
  const missingFolder = code === 'ENOENT' && done === 'written';
  return new AppError({
    code: `file-not-${done}`,
    kind,
    detail: `${path} could not be ${done}: ${missingFolder ? 'its folder is not there' : why}.`,
    hint: missingFolder ? 'Make the folder first, or choose another.' : hint,
    retry: kind === 'unavailable',
    cause: thrown,
  });
}

function tooLarge(path: string): AppError {
  return new AppError({
    code: 'file-too-large',
    kind: 'bad-input',
    detail: `${path} is larger than any file of readings or clays.`,
    hint: 'Check that it is the file you meant.',
  });
}
