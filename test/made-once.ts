import { existsSync, mkdirSync, mkdtempSync, renameSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as after } from 'node:timers/promises';

/** Names the folder that all files of a run share. */
export const SHARED_FOLDER = 'KNEADWELL_SHARED_FOLDER';
const LOOK_AGAIN_MS = 100;

/**
 * A file or folder that takes long to make, made once a run: by the first file of tests that wants it,
 * while others wait. Nobody may change what is there; who wants to, takes a copy.
 * Refuses: what could not be made, for all who wait
 */
export async function madeOnce(
  name: string,
  make: (path: string) => Promise<unknown>,
): Promise<string> {
  const folder = process.env[SHARED_FOLDER] ?? mkdtempSync(join(tmpdir(), 'kneadwell-shared-'));
  const path = join(folder, name);
  if (existsSync(path)) return path;
  if (!isFirst(`${path}.begun`)) return madeByAnother(path);
  try {
    await make(`${path}.new`);
    renameSync(`${path}.new`, path);
    return path;
  } catch (fault) {
    writeFileSync(`${path}.failed`, String(fault));
    throw fault;
  }
}

function isFirst(mark: string): boolean {
  try {
    mkdirSync(mark);
    return true;
  } catch {
    return false;
  }
}

async function madeByAnother(path: string): Promise<string> {
  while (!existsSync(path)) {
    if (existsSync(`${path}.failed`)) throw new Error(`${path} could not be made`);
    await after(LOOK_AGAIN_MS);
  }
  return path;
}
