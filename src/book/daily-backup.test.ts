import { describe, expect, it } from 'vitest';
import type { BackupStore, ShelvedBackup } from './backup-ports.ts';
import { DAILY_BACKUPS_KEPT, isDue, makeDailyBackup, tooMany } from './daily-backup.ts';

const DAY = 24 * 60 * 60 * 1000;
const START = Date.UTC(2026, 0, 1, 12);
const on = (ms: number, daily = true): ShelvedBackup => {
  const at = new Date(ms).toISOString();
  return { path: `${at}${daily ? '' : ' mine'}`, at, daily, bytes: 1 };
};

function backupsOf(start: readonly ShelvedBackup[], now: () => number) {
  const saved = [...start];
  const port: BackupStore = {
    folder: '',
    list: async () => [...saved],
    async make({ daily = false } = {}) {
      const made = on(now(), daily);
      saved.push(made);
      return {
        path: made.path,
        bytes: 1,
        manifest: { madeAt: made.at, seq: 0, records: 0, lacking: [], files: 1 },
      };
    },
    async remove(path) {
      saved.splice(
        saved.findIndex((backup) => backup.path === path),
        1,
      );
    },
  };
  return { saved, port };
}

describe('backups of every day', () => {
  it('are thinned to seven days and eight weeks over a year, newest kept', async () => {
    let now = START;
    const { saved, port } = backupsOf([], () => now);
    for (let hour = 0; hour < 400 * 24; hour += 5) {
      now = START + hour * (DAY / 24);
      await makeDailyBackup(port, now);
    }
    const ages = saved.map(({ at }) => (now - Date.parse(at)) / DAY);
    // The newest of the last seven days are also the newest of one week, or of two.
    expect(saved.length).toBeGreaterThanOrEqual(
      DAILY_BACKUPS_KEPT.days + DAILY_BACKUPS_KEPT.weeks - 2,
    );
    expect(saved.length).toBeLessThanOrEqual(
      DAILY_BACKUPS_KEPT.days + DAILY_BACKUPS_KEPT.weeks - 1,
    );
    expect(Math.min(...ages)).toBeLessThan(1.3);
    expect(ages.filter((age) => age < 9)).toHaveLength(7);
    // The Sunday that ended the eighth week back: six to seven weeks ago.
    expect(Math.max(...ages)).toBeGreaterThan(7 * (DAILY_BACKUPS_KEPT.weeks - 2));
    expect(Math.max(...ages)).toBeLessThan(7 * (DAILY_BACKUPS_KEPT.weeks - 1) + 1);
  });

  it('never touch what a person made', () => {
    const mine = Array.from({ length: 100 }, (_, i) => on(START - i * DAY, false));
    expect(tooMany(mine)).toEqual([]);
    const both = [...mine, ...Array.from({ length: 100 }, (_, i) => on(START - i * DAY))];
    expect(tooMany(both).every(({ daily }) => daily)).toBe(true);
  });

  it('come once and no more when the clock is set back by a year, and lose none', async () => {
    let now = START;
    const { saved, port } = backupsOf([on(START)], () => now);
    now = START - 365 * DAY;
    expect((await makeDailyBackup(port, now)).made).toBeDefined();
    expect((await makeDailyBackup(port, now + 1000)).made).toBeUndefined();
    expect(saved).toHaveLength(2);
    expect(isDue(saved, now + DAY)).toBe(true);
  });

  it('keep the one just made, also when the clock was set back and the store is full of later ones', async () => {
    const later = Array.from({ length: 30 }, (_, i) => on(START - i * 7 * DAY));
    const now = START - 3650 * DAY;
    const { saved, port } = backupsOf(later, () => now);
    const { made } = await makeDailyBackup(port, now);
    expect(saved.map(({ path }) => path)).toContain(made?.path);
    expect((await makeDailyBackup(port, now + 3_600_000)).made).toBeUndefined();
  });

  it('thin nothing when the new one could not be made', async () => {
    const many = Array.from({ length: 60 }, (_, i) => on(START - (i + 2) * DAY));
    const { saved, port } = backupsOf(many, () => START);
    const broken = { ...port, make: () => Promise.reject(new Error('no room')) };
    await expect(makeDailyBackup(broken, START)).rejects.toThrow('no room');
    expect(saved).toHaveLength(60);
  });
});
