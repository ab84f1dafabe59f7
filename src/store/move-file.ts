import { renameSync } from 'node:fs';

/** By these Windows says that another program has a file open. */
const HELD = new Set(['EPERM', 'EACCES', 'EBUSY']);
/** Milliseconds between tries, 1.6 s together; scanners and search indexes close a file sooner. */
const WAITS_MS = [10, 20, 50, 100, 200, 400, 800];

/**
 * Gives a file or folder another name, in place of a file that has it already. On Windows what another
 * program has open cannot be moved, and scanners open what was just written, so there it is tried again.
 * Refuses: what the system says, on Windows after the last try
 */
export function moveFile(
  from: string,
  to: string,
  rename: (from: string, to: string) => void = renameSync,
  platform: NodeJS.Platform = process.platform,
): void {
  const waits = platform === 'win32' ? WAITS_MS : [];
  for (const wait of waits) {
    try {
      rename(from, to);
      return;
    } catch (thrown) {
      if (!HELD.has((thrown as NodeJS.ErrnoException).code ?? '')) throw thrown;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, wait);
    }
  }
  rename(from, to);
}
