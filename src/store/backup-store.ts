import { rm } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import type { BackupStore } from '../book/backup-ports.ts';
import { backupName, readyIndex, storedBackups } from './backup-names.ts';
import { type BackupCall, writeBackup } from './write-backup.ts';

/** Backups of one open book, in one folder unless said otherwise. */
export function backupStore(
  call: Omit<BackupCall, 'to' | 'nowEpochMs'> & {
    readonly folder: string;
    readonly nowEpochMs: () => number;
  },
): BackupStore {
  const { folder, nowEpochMs, ...rest } = call;
  return {
    folder,
    list: () => storedBackups(folder),
    async make({ to, daily = false } = {}) {
      const now = nowEpochMs();
      if (to !== undefined) {
        return writeBackup({ ...rest, to: resolve(to), nowEpochMs: now });
      }
      await readyIndex(folder, now);
      const there = new Set((await storedBackups(folder)).map(({ path }) => path));
      let again = 1;
      while (there.has(join(folder, backupName(now, daily, again)))) again++;
      const path = join(folder, backupName(now, daily, again));
      return writeBackup({ ...rest, to: path, nowEpochMs: now });
    },
    async remove(path) {
      // Only files in this backup folder, whatever path is given.
      if (dirname(resolve(path)) === resolve(folder)) await rm(path, { force: true });
    },
  };
}
