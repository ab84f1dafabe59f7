import type { BackupMade, BackupStore, ShelvedBackup } from './backup-ports.ts';

const DAY_MS = 24 * 60 * 60 * 1000;

/** How many of the daily ones stay: the newest of each of so many days, and of so many weeks. */
export const DAILY_BACKUPS_KEPT = { days: 7, weeks: 8 } as const;

export interface DailyBackup {
  /** Absent where one of less than a day ago is there. */
  readonly made?: BackupMade;
  readonly removed: readonly string[];
}

/**
 * Makes the daily backup when it is due, then deletes surplus older backups.
 * Holds:   a clock set back or forward never makes a backup due for ever, and never deletes all backups;
 *          no backup is deleted unless the new one was made and read back
 */
export async function makeDailyBackup(
  backups: BackupStore,
  nowEpochMs: number,
): Promise<DailyBackup> {
  if (!isDue(await backups.list(), nowEpochMs)) return { removed: [] };
  const made = await backups.make({ daily: true });
  // Under a clock set back the newest looks old; it stays all the same.
  const removed = tooMany(await backups.list()).filter(({ path }) => path !== made.path);
  for (const { path } of removed) await backups.remove(path);
  return { made, removed: removed.map(({ path }) => path) };
}

/** Whether no backup, of whatever sort, lies within a day of now. */
export function isDue(saved: readonly ShelvedBackup[], nowEpochMs: number): boolean {
  return saved.every(({ at }) => Math.abs(nowEpochMs - Date.parse(at)) >= DAY_MS);
}

/** Daily ones that need not stay. The clock has no say in it, only which days have one. */
export function tooMany(saved: readonly ShelvedBackup[]): readonly ShelvedBackup[] {
  const daily = saved
    .filter((backup) => backup.daily)
    .toSorted((one, other) => (one.at < other.at ? 1 : one.at > other.at ? -1 : 0));
  const keep = new Set([
    ...newestOfEach(daily, dayOf).slice(0, DAILY_BACKUPS_KEPT.days),
    ...newestOfEach(daily, weekOf).slice(0, DAILY_BACKUPS_KEPT.weeks),
  ]);
  return daily.filter((backup) => !keep.has(backup));
}

function newestOfEach(
  newestFirst: readonly ShelvedBackup[],
  spanOf: (at: string) => number,
): readonly ShelvedBackup[] {
  const newest = new Map<number, ShelvedBackup>();
  for (const backup of newestFirst) {
    const span = spanOf(backup.at);
    if (!newest.has(span)) newest.set(span, backup);
  }
  return [...newest.values()];
}

const dayOf = (at: string) => Math.floor(Date.parse(at) / DAY_MS);
/** Weeks begin on Monday (ISO 8601); 1970-01-01 was a Thursday. */
const weekOf = (at: string) => Math.floor((dayOf(at) + 3) / 7);
