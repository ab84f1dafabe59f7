/**
 * Are wrong tiles found, named rightly, and clean books left alone?
 *
 * Studios of `other-studios.ts` (28 tiles; 8 colours, white and black), clean or with one mistake.
 * Named rightly: the likeliest explanation is this mistake in these rows. Also counted: the likeliest
 * explanation names the right rows; listed: this mistake is among the explanations with a chance of 1 in
 * 20 or more. A false alarm: the readings as they are have less than even odds in a clean book. Times are
 * of the processor, for the weighing alone, and beside the time of the fit that is weighed.
 *
 * Run: npx tsx bench/wrong-tiles.ts [--studios 30] [--power 1] [--crowding 0] [--only swapped]
 *      [--clean 100] [--more]
 */
import { parseArgs } from 'node:util';
import { type Explanation, explainTiles } from '../src/core/clay/explain/explain.ts';
import type { TileFaultKind } from '../src/core/clay/explain/fault.ts';
import { rowsOfFaults } from '../src/core/clay/explain/weighed.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { leftOutTiles } from '../src/core/clay/left-out.ts';
import type { Prior } from '../src/core/clay/prior.ts';
import type { TileReading } from '../src/core/clay/tile-reading.ts';
import { studioOf } from './other-studios.ts';
import { mean, randomFrom } from './random.ts';
import { wrongBook } from './wrong-rows.ts';

/** Chance from which an explanation counts as listed. */
const LISTED = 0.05;

const KINDS: readonly TileFaultKind[] = [
  'swapped',
  'reversed',
  'other clay',
  'sign lost',
  'a and b exchanged',
  'amounts',
  'scale',
  'reading',
];

function explained(readings: TileReading[], prior: Prior) {
  const start = process.cpuUsage();
  const fit = fitClays(readings, prior);
  const leftOut = leftOutTiles(fit);
  const before = process.cpuUsage();
  const run = explainTiles(readings, fit, leftOut);
  while (!run.step());
  const ms = process.cpuUsage(before).user / 1000;
  return { all: run.explanations(), ms, fitMs: (before.user - start.user) / 1000 };
}

/** Whether an explanation is this mistake and nothing else. */
function isMistake({ faults }: Explanation, kind: TileFaultKind, rows: readonly number[]): boolean {
  return faults.length === 1 && faults[0].kind === kind && sameRows(faults, rows);
}

function sameRows(faults: Explanation['faults'], rows: readonly number[]): boolean {
  return [...rowsOfFaults(faults)].sort((x, y) => x - y).join() === rows.join();
}

function main(): void {
  const { values } = parseArgs({
    options: {
      studios: { type: 'string', default: '30' },
      clean: { type: 'string', default: '100' },
      power: { type: 'string', default: '1' },
      crowding: { type: 'string', default: '0' },
      only: { type: 'string', default: '' },
      more: { type: 'boolean', default: false },
      verbose: { type: 'boolean', default: false },
    },
  });
  const { more } = values;
  const truth = {
    name: '',
    power: Number(values.power),
    crowding: Number(values.crowding),
    more,
  };
  for (const kind of KINDS.filter((k) => k.includes(values.only))) {
    let named = 0;
    let rowsNamed = 0;
    let listed = 0;
    let noticed = 0;
    let books = 0;
    const times: number[] = [];
    const fitTimes: number[] = [];
    for (let s = 0; s < Number(values.studios); s++) {
      const { prior, readings } = studioOf(s, truth);
      const wrong = wrongBook(kind, readings, randomFrom(400 + s));
      if (wrong === undefined) continue;
      books++;
      const { all, ms, fitMs } = explained(wrong.readings, prior);
      times.push(ms);
      fitTimes.push(fitMs);
      if (all[0].faults.length > 0) noticed++;
      if (sameRows(all[0].faults, wrong.rows)) rowsNamed++;
      if (all.some((e) => e.probability >= LISTED && isMistake(e, kind, wrong.rows))) listed++;
      if (isMistake(all[0], kind, wrong.rows)) named++;
      else if (values.verbose) {
        console.log(
          s,
          wrong.rows,
          all.slice(0, 3).map((e) => [e.probability.toFixed(2), JSON.stringify(e.faults)]),
        );
      }
    }
    console.log(
      `${kind.padEnd(18)} named rightly ${named} of ${books}, right rows ${rowsNamed}, listed ${listed}, noticed ${noticed}; ${mean(times).toFixed(0)} ms, longest ${Math.max(...times).toFixed(0)}; the fit ${mean(fitTimes).toFixed(0)} ms`,
    );
  }
  const times: number[] = [];
  let alarms = 0;
  for (let s = 0; s < Number(values.clean); s++) {
    const { prior, readings } = studioOf(1000 + s, truth);
    const { all, ms } = explained(readings, prior);
    times.push(ms);
    const clean = all.find(({ faults }) => faults.length === 0)?.probability ?? 0;
    if (clean >= 0.5) continue;
    alarms++;
    if (values.verbose) console.log(s, clean, JSON.stringify(all[0].faults), all[0].probability);
  }
  console.log(
    `clean              false alarms ${alarms} of ${values.clean}; ${mean(times).toFixed(0)} ms, longest ${Math.max(...times).toFixed(0)}`,
  );
}

if (process.argv[1]?.endsWith('wrong-tiles.ts')) main();
