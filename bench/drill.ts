/**
 * Long test of what can happen to a mix book: kills, failing writes, full disks, damaged backups,
 * several processes, work that is killed, a clock set back, a migration killed half-way, power cuts. Ends with 1 where
 * anything acknowledged is lost, or a book does not open and verify.
 * Run:     npm run drill
 */
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
} from '../test/faults/drill.ts';

const SEED = 20_261;

const DRILLS: Readonly<Record<string, () => Promise<object>>> = {
  'the Nth statement fails': drillNthStatement,
  'backups torn and with bits turned': () => drillDamagedBackups(300, 1000, SEED),
  'power cut between two changes': () => drillPowerCuts(60, 5, SEED),
  'clock set back': () => drillClockBack(200),
  'migration killed at each statement': () => drillMigration(200),
  'disk full': () => drillFullDisk([300, 450, 600, 900, 1400]),
  'three processes on one folder': () => drillTwoProcesses(5),
  'SIGKILL in the middle of pasted notes': () => drillKilledWork(5),
  'SIGKILL under write load': () => drillKills(200, SEED),
};

const [only] = process.argv.slice(2);
for (const [name, drill] of Object.entries(DRILLS)) {
  if (only !== undefined && !name.includes(only)) continue;
  const started = performance.now();
  try {
    const printed = Object.entries(await drill()).map(([what, count]) => `${count} ${what}`);
    const seconds = ((performance.now() - started) / 1000).toFixed(0);
    process.stdout.write(`ok    ${name}: ${printed.join(', ')} (${seconds} s)\n`);
  } catch (fault) {
    process.stdout.write(`FAIL  ${name}: ${fault instanceof Error ? fault.message : fault}\n`);
    process.exitCode = 1;
  }
}
