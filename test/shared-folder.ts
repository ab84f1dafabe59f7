import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { SHARED_FOLDER } from './made-once.ts';

/** A folder for what all files of a run share, made before them and removed after them. */
export default function sharedFolder(): () => void {
  if (process.env[SHARED_FOLDER] !== undefined) return () => {};
  const folder = mkdtempSync(join(tmpdir(), 'kneadwell-shared-'));
  process.env[SHARED_FOLDER] = folder;
  return () => rmSync(folder, { recursive: true, force: true });
}
