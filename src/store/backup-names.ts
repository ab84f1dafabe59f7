import { mkdir, readdir, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { ShelvedBackup } from '../book/backup-ports.ts';

const NAME = /^kneadwell-(daily-)?(\d{4}-\d{2}-\d{2})T(\d{2})(\d{2})(\d{2})Z(?:-\d+)?\.zip$/;
/** Half-written backups older than this were left by a crash. */
const HALF_WRITTEN_MS = 60 * 60 * 1000;

/** `kneadwell-daily-2026-01-05T101200Z.zip`: sorts by time, and says by itself when it was made. */
export function backupName(atEpochMs: number, daily: boolean, again = 1): string {
  const at = new Date(atEpochMs).toISOString().slice(0, 19).replaceAll(':', '');
  return `kneadwell-${daily ? 'daily-' : ''}${at}Z${again === 1 ? '' : `-${again}`}.zip`;
}

/** Backups in a folder, newest last; what else lies there is passed over. */
export async function storedBackups(folder: string): Promise<readonly ShelvedBackup[]> {
  const names = await readdir(folder).catch(() => [] as string[]);
  const backups: ShelvedBackup[] = [];
  for (const name of names.sort()) {
    const read = NAME.exec(name);
    if (read === null) continue;
    const [, daily, day, hours, minutes, seconds] = read;
    const at = `${day}T${hours}:${minutes}:${seconds}.000Z`;
    if (Number.isNaN(Date.parse(at))) continue;
    const path = join(folder, name);
    const bytes = await stat(path).then(
      ({ size }) => size,
      () => undefined,
    );
    if (bytes !== undefined) backups.push({ path, at, daily: daily !== undefined, bytes });
  }
  return backups.sort((one, other) => (one.at < other.at ? -1 : one.at > other.at ? 1 : 0));
}

/** Makes the folder where there is none, and takes away what a crash left of a backup. */
export async function readyIndex(folder: string, nowEpochMs: number): Promise<void> {
  await mkdir(folder, { recursive: true, mode: 0o700 });
  for (const name of await readdir(folder)) {
    if (!/^\.kneadwell-[0-9a-f]{16}$/.test(name)) continue;
    const path = join(folder, name);
    const { mtimeMs } = await stat(path);
    if (nowEpochMs - mtimeMs > HALF_WRITTEN_MS) await rm(path, { recursive: true, force: true });
  }
}
