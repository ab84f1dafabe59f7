import { describe, expect, it } from 'vitest';
import {
  drillClockBack,
  drillDamagedBackups,
  drillFullDisk,
  drillKilledWork,
  drillKills,
  drillMigration,
  drillNthStatement,
  drillPowerCuts,
  drillTwoProcesses,
} from './drill.ts';

/** A little of each drill; `npm run drill` does them at length. */
describe('a mix book lives through', () => {
  it('kills under write load', async () => {
    expect(await drillKills(4, 7)).toMatchObject({ kills: 4, lost: 0 });
  });

  it('any statement failing, in four ways', async () => {
    expect((await drillNthStatement()).failed).toBeGreaterThan(40);
  });

  it.skipIf(process.platform === 'win32')('a full disk', async () => {
    expect((await drillFullDisk([600])).changes).toBeGreaterThan(3);
  });

  it('torn backups, and backups with bits turned', async () => {
    const { refused, harmless } = await drillDamagedBackups(30, 100, 7);
    expect(refused).toBeGreaterThan(harmless);
  });

  it('three processes that want one folder', async () => {
    expect(await drillTwoProcesses(1)).toEqual({ rounds: 1, refusals: 2 });
  });

  it('a clock set back', async () => {
    expect(await drillClockBack(25)).toEqual({ changes: 25 });
  });

  it('a migration killed half-way', async () => {
    expect((await drillMigration(3)).kills).toBe(3);
  });

  it('a kill in the middle of work, which is not started again', async () => {
    expect(await drillKilledWork(1)).toMatchObject({ kills: 1 });
  });

  it('cuts of power', async () => {
    expect(await drillPowerCuts(8, 2, 7)).toMatchObject({ cuts: 16, lost: 0 });
  });
});
