/**
 * Do bend tests say what they may? Simulated books of bend tests from known truths, and what is then said.
 * Where the prior is right, truths are drawn from it. The other truths are smooth curves of another kind, a
 * jump and a dip, with softness, gaps and batch scatter of their own. Each book has tests of the planned
 * shares at three strains in three bakes. Asked: chances at five shares for the strain needed, and the least
 * share for 9 in 10.
 * Prints: how many 95 % intervals hold the truth, promises that fall short, width beside the oracle that
 *         knows the form of the curve (and how many of the oracle's intervals hold the truth), lines that do
 *         not get on found and falsely reported, time of one belief (both kinds of curve).
 * Run:    npx tsx bench/strength.ts [--books 250] [--tests 15] [--seed 1] [--truth all] [--draws N] [--moves N]
 */
import { parseArgs } from 'node:util';
import { STRENGTH_SETTINGS } from '../src/core/strength/fit-strength.ts';
import { leastShare } from '../src/core/strength/strength-advice.ts';
import {
  CLASH_SURE,
  holdingChance,
  type Load,
  strengthBelief,
} from '../src/core/strength/strength-belief.ts';
import { mean, quantile, randomFrom } from './random.ts';
import { oracleIntervals } from './strength-oracle.ts';
import { bookOf, FOUR_OTHERS, type KindOfTruth, TRUTHS, trueChance } from './strength-truths.ts';

const ASKED = [0.1, 0.25, 0.4, 0.6, 0.9];
const WANTED = 0.9;

const { values } = parseArgs({
  options: {
    books: { type: 'string', default: '250' },
    tests: { type: 'string', default: '15' },
    seed: { type: 'string', default: '1' },
    truth: { type: 'string', default: 'all' },
    draws: { type: 'string', default: String(STRENGTH_SETTINGS.draws) },
    moves: { type: 'string', default: String(STRENGTH_SETTINGS.moves) },
  },
});
const books = Number(values.books);
const tests = Number(values.tests);
const settings = { ...STRENGTH_SETTINGS, draws: Number(values.draws), moves: Number(values.moves) };

function measured({ name, draw, form, isDip }: KindOfTruth) {
  const random = randomFrom(Number(values.seed) * 7919);
  const found = { name, asked: 0, covered: 0, promised: 0, short: 0, clash: 0, oracleCovered: 0 };
  const widths: number[] = [];
  const oracleWidths: number[] = [];
  const times: number[] = [];
  for (let book = 0; book < books; book++) {
    const truth = draw(random);
    // What is needed has nothing to do with what the clay can take: else the question would tell of the truth.
    const strain = Math.min(0.5, Math.exp(Math.log(0.03) + 0.6 * random.normal()));
    const load: Load = { strain, bulk: 'thin', translucent: 0, powder: 0 };
    const rows = bookOf(truth, tests, [strain, strain * 1.6, strain * 0.7], random);
    const startUs = process.cpuUsage();
    const belief = strengthBelief(rows, settings);
    const { user, system } = process.cpuUsage(startUs);
    times.push((user + system) / 1000);
    if (belief.clashChance >= CLASH_SURE) found.clash++;
    const best = form === undefined ? undefined : oracleIntervals(form, rows, ASKED, load);
    for (const [i, share] of ASKED.entries()) {
      const { low, high } = holdingChance(belief, share, load);
      const right = trueChance(truth, share, load);
      const holds = (a: number, b: number) => right >= a - 1e-9 && right <= b + 1e-9;
      found.asked++;
      if (holds(low, high)) found.covered++;
      widths.push(high - low);
      if (best === undefined) continue;
      if (holds(best[i].low, best[i].high)) found.oracleCovered++;
      oracleWidths.push(best[i].high - best[i].low);
    }
    const { least } = leastShare(belief, load, WANTED);
    if (least === undefined) continue;
    found.promised++;
    if (trueChance(truth, least, load) < WANTED) found.short++;
  }
  console.log(
    `${name.padEnd(21)} covered ${percent(found.covered, found.asked)}; promises ${found.promised}, short ${percent(found.short, found.promised)}; ` +
      `width ${mean(widths).toFixed(2)}${
        form === undefined
          ? ''
          : `, oracle ${mean(oracleWidths).toFixed(2)} (covers ${percent(found.oracleCovered, found.asked)})`
      }; do not get on, ${isDip ? 'found' : 'falsely'}: ${percent(found.clash, books)}; ` +
      `belief ${quantile(times, 0.5).toFixed(0)} ms, 9 in 10 below ${quantile(times, 0.9).toFixed(0)}`,
  );
  return { ...found, isDip };
}

function percent(part: number, whole: number): string {
  return whole === 0 ? '-' : `${((100 * part) / whole).toFixed(1)} %`;
}

console.log(`${books} books a truth, ${tests} tests each, seed ${values.seed}`);
const all = TRUTHS.filter(({ name }) => values.truth === 'all' || values.truth === name).map(
  measured,
);
const sum = (of: typeof all, key: 'asked' | 'covered' | 'promised' | 'short' | 'clash') =>
  of.reduce((total, one) => total + one[key], 0);
const others = all.filter(({ name }) => FOUR_OTHERS.includes(name));
const noDip = all.filter(({ isDip }) => isDip !== true);
console.log(
  `four other truths together: covered ${percent(sum(others, 'covered'), sum(others, 'asked'))}; ` +
    `promises short in all but strong scatter: ${percent(
      sum(
        all.filter(({ name }) => !name.startsWith('strong')),
        'short',
      ),
      sum(
        all.filter(({ name }) => !name.startsWith('strong')),
        'promised',
      ),
    )}; false alarms ${percent(sum(noDip, 'clash'), noDip.length * books)}`,
);
