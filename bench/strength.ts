/**
 * Do bend tests say what they may? Simulated books of bend tests from known truths, and what is then said.
 * Where the prior is right, truths are drawn from it. The other truths are smooth curves of another kind, a
 * jump and a dip, with softness, gaps and batch scatter of their own. Each book has tests of the planned
 * shares at two strains in two bakes. Asked: chances at five shares for the strain needed, and the least
 * share for 9 in 10.
 * Prints: how many 95 % intervals hold the truth, promises that fall short, width beside the oracle that
 *         knows all but the curve's height, lines that do not get on found and falsely reported, time of a fit.
 * Run:    npx tsx bench/strength.ts [--books 200] [--tests 15] [--seed 1] [--truth all] [--draws N] [--moves N]
 */
import { parseArgs } from 'node:util';
import type { BendResultRow } from '../src/core/strength/bend-results.ts';
import { STRENGTH_SETTINGS } from '../src/core/strength/fit-strength.ts';
import { leastShare } from '../src/core/strength/strength-advice.ts';
import {
  CLASH_SURE,
  holdingChance,
  type Load,
  strengthBelief,
} from '../src/core/strength/strength-belief.ts';
import {
  AT,
  drawTerms,
  gradeStart,
  placeOfShare,
  toleranceAt,
} from '../src/core/strength/strength-terms.ts';
import { mean, quantile, type Random, randomFrom } from './random.ts';

interface Truth {
  readonly tolerance: (share: number) => number;
  readonly softness: number;
  readonly scatter: number;
  readonly starts: readonly number[];
}

const SHARES = [0, 0.12, 0.25, 0.5, 1];
const ASKED = [0.1, 0.25, 0.4, 0.6, 0.9];
const WANTED = 0.9;

function fromPrior(random: Random): Truth {
  const terms = drawTerms(0, random);
  return {
    tolerance: (share) => toleranceAt(terms, 0, share, placeOfShare(share), false),
    softness: Math.exp(terms[AT.softness]),
    scatter: Math.exp(terms[AT.batch]),
    starts: [1, 2, 3, 4].map((above) => gradeStart(terms, 0, above)),
  };
}

/** A truth that no draw of the prior has exactly. */
function ofShape(shape: (share: number) => number, scatter = 0.2) {
  return (random: Random): Truth => {
    const base = Math.log(0.02) + 0.6 * random.normal();
    const gain = 0.8 + 1.2 * random.uniform();
    return {
      tolerance: (share) => base + gain * shape(share),
      softness: 0.15 + 0.15 * random.uniform(),
      scatter,
      starts: [-0.4, 0, 0.35, 0.7],
    };
  };
}

const TRUTHS: Readonly<Record<string, (random: Random) => Truth>> = {
  'as the prior': fromPrior,
  even: ofShape((s) => s),
  early: ofShape((s) => Math.sqrt(s)),
  late: ofShape((s) => s * s),
  'S-shaped': ofShape((s) => s * s * (3 - 2 * s)),
  'beside a jump': ofShape((s) => (s < 0.3 ? 0 : 1)),
  'in a dip': ofShape((s) => s - 1.6 * (1 - Math.abs(2 * s - 1))),
  'strong batch scatter': ofShape((s) => s, 0.5),
};

const logistic = (x: number) => 1 / (1 + Math.exp(-x));

function bookOf(truth: Truth, tests: number, strains: readonly number[], random: Random) {
  const bakes = [0, 1, 2].map(() => truth.scatter * random.normal());
  return Array.from({ length: tests }, (_, i): BendResultRow => {
    const share = SHARES[i % SHARES.length];
    const strain = strains[Math.floor(i / SHARES.length) % strains.length];
    const bake = Math.floor(i / SHARES.length) % bakes.length;
    const x = Math.log(strain) - truth.tolerance(share) + bakes[bake];
    const luck = random.uniform();
    // Grade is the number of starts that the specimen has passed.
    const grade = truth.starts.filter(
      (start) => luck < logistic((x - start) / truth.softness),
    ).length;
    return {
      share,
      strain,
      grade,
      batch: `bake ${bake}`,
      translucent: 0,
      powder: 0,
      rankOnly: false,
    };
  });
}

/** Share of new specimens that hold, over many new bakes. */
function trueChance(truth: Truth, share: number, load: Load): number {
  let sum = 0;
  const steps = 400;
  for (let i = 0; i < steps; i++) {
    const z = -4 + (8 * (i + 0.5)) / steps;
    const weight = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
    const x = Math.log(load.strain) - truth.tolerance(share) + truth.scatter * z;
    sum += (8 / steps) * weight * logistic((truth.starts[1] - x) / truth.softness);
  }
  return sum;
}

const { values } = parseArgs({
  options: {
    books: { type: 'string', default: '200' },
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

console.log(`${books} books a truth, ${tests} tests each, seed ${values.seed}`);
const chosen = Object.entries(TRUTHS).filter(
  ([name]) => values.truth === 'all' || values.truth === name,
);
for (const [name, draw] of chosen) {
  const random = randomFrom(Number(values.seed) * 7919);
  let [covered, asked, promised, short, clash] = [0, 0, 0, 0, 0];
  const widths: number[] = [];
  const oracle: number[] = [];
  const times: number[] = [];
  for (let book = 0; book < books; book++) {
    const truth = draw(random);
    // What is needed has nothing to do with what the clay can take: else the question would tell of the truth.
    const strain = Math.min(0.5, Math.exp(Math.log(0.03) + 0.6 * random.normal()));
    const load: Load = { strain, bulk: 'thin', translucent: 0, powder: 0 };
    const rows = bookOf(truth, tests, [strain, strain * 1.6, strain * 0.7], random);
    const startMs = performance.now();
    const belief = strengthBelief(rows, settings);
    times.push(performance.now() - startMs);
    if (belief.clashChance >= CLASH_SURE) clash++;
    for (const share of ASKED) {
      const { low, high } = holdingChance(belief, share, load);
      const right = trueChance(truth, share, load);
      if (right >= low - 1e-9 && right <= high + 1e-9) covered++;
      asked++;
      widths.push(high - low);
      // Knowing all but the height, from n results of this very blend: the width of a binomial share.
      oracle.push(3.92 * Math.sqrt(Math.max(0.01, right * (1 - right)) / (tests / SHARES.length)));
    }
    const { least } = leastShare(belief, load, WANTED);
    if (least === undefined) continue;
    promised++;
    if (trueChance(truth, least, load) < WANTED) short++;
  }
  const percent = (part: number, whole: number) =>
    (whole === 0 ? '-' : (100 * part) / whole).toString().slice(0, 4);
  console.log(
    `${name.padEnd(22)} covered ${percent(covered, asked)} %, promises ${promised}, short ${short} (${percent(short, promised)} %), ` +
      `width ${mean(widths).toFixed(2)} (of ${tests / SHARES.length} results of one blend alone ${mean(oracle.map((w) => Math.min(1, w))).toFixed(2)}), ` +
      `do not get on: ${percent(clash, books)} %, fit ${quantile(times, 0.5).toFixed(0)} ms`,
  );
}
