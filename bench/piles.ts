/**
 * Two piles, buy or mix: against brute force, and how long large lines take.
 *
 *  equal   seeded lines of 8 to 12 measured paints at five tolerances: blocks bought against trying every set;
 *          beside it, how often judging block by block promises colours that cannot be made
 *  large   one line of so many clays: the whole frontier from same to same family, what is proven, and the
 *          processor's time of each half; with --at one tolerance alone
 *
 * Run: npx tsx bench/piles.ts [--lines 60] [--large 46,100] [--at 3.5] [--parts 12]
 */
import { parseArgs } from 'node:util';
import type { Predictor } from '../src/core/clay/predict.ts';
import { HOUSE_VIEWING } from '../src/core/colour/house-viewing.ts';
import { predictViewed } from '../src/core/find/predicted-mix.ts';
import { answered } from '../src/core/find/work-steps.ts';
import { findingPiles, type PilesFound } from '../src/core/piles/piles.ts';
import { startReach } from '../src/core/piles/reach.ts';
import { VERDICT_LIMITS } from '../src/core/verdict/verdict.ts';
import { highsOptimiser } from '../src/solver/highs-optimiser.ts';
import { oneByOne, ones, plainFewest, plainHolds, plainReach } from './plain-piles.ts';
import { randomFrom } from './random.ts';
import { stockPlain, stockPredictor } from './stock.ts';

const { values } = parseArgs({
  options: {
    lines: { type: 'string', default: '60' },
    large: { type: 'string', default: '46' },
    at: { type: 'string' },
    parts: { type: 'string', default: '12' },
  },
});
const PARTS = Number(values.parts);
const TOLERANCES = [...VERDICT_LIMITS.map(([, limit]) => limit), 5].sort((a, b) => a - b);
const [SAME, FAMILY] = [TOLERANCES[0], TOLERANCES[TOLERANCES.length - 1]];
const optimiser = await highsOptimiser();

/** Pieces of work in the order they ended, each with the processor's time until then, s. */
async function pilesOf(
  predictor: Predictor,
  clays: readonly number[],
  tolerance: number,
  downTo = tolerance,
): Promise<{ found: PilesFound; reachS: number; allS: number }> {
  const labs = clays.map(
    (clay) => predictViewed(predictor, [{ clay, share: 1 }], HOUSE_VIEWING).lab,
  );
  const run = startReach(predictor, {
    clays,
    labs,
    mostClays: 3,
    parts: PARTS,
    within: tolerance,
    mayServe: () => true,
  });
  const begun = cpuS();
  let reachS = 0;
  const found = await answered(
    findingPiles(run, { terms: clays.map(() => ({ cost: 1 })), tolerance, downTo }),
    {
      nowMs: () => performance.now(),
      breathe: async () => {},
      optimiser: async () => optimiser,
      ended({ solve }) {
        if (solve === undefined) reachS = cpuS() - begun;
      },
    },
  );
  return { found, reachS, allS: cpuS() - begun };
}

function cpuS(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
}

async function equal(lines: number): Promise<void> {
  const predictor = stockPredictor(46);
  const plain = stockPlain(predictor);
  const random = randomFrom(7);
  const rows = TOLERANCES.map((tolerance) => ({
    tolerance,
    right: 0,
    proven: 0,
    bought: 0,
    broken: 0,
    promised: 0,
    unkept: 0,
  }));
  for (let line = 0; line < lines; line++) {
    const pool = predictor.model.clays.map((_, i) => i);
    const size = 8 + (line % 5);
    const clays = Array.from(
      { length: size },
      () => pool.splice(random.whole(0, pool.length - 1), 1)[0],
    );
    const reach = plainReach(plain, clays, PARTS);
    for (const row of rows) {
      const { found } = await pilesOf(predictor, clays, row.tolerance);
      const bits = [...found.piles!.held].reduce((sum, held, i) => sum | (held << i), 0);
      const fewest = plainFewest(reach, row.tolerance);
      row.right += Number(
        found.piles!.cost === fewest && plainHolds(reach, bits, row.tolerance + 1e-6),
      );
      row.proven += Number(found.piles!.proven);
      row.bought += fewest;
      const alone = oneByOne(reach, row.tolerance);
      const promised = clays.length - ones(alone);
      const kept = reach.filter(
        (sets, block) =>
          (alone & (1 << block)) === 0 &&
          sets.some(({ bits, dE00 }) => dE00 <= row.tolerance && (bits & alone) === bits),
      ).length;
      row.promised += promised;
      row.unkept += promised - kept;
      row.broken += Number(promised > kept);
    }
  }
  console.log(
    'tolerance  equal  proven  bought a line  lines broken one by one  promises not kept',
  );
  for (const { tolerance, right, proven, bought, broken, promised, unkept } of rows) {
    console.log(
      `${tolerance.toFixed(1).padStart(9)}  ${right}/${lines}  ${proven}/${lines}  ${(bought / lines).toFixed(1).padStart(13)}  ${`${broken}/${lines}`.padStart(23)}  ${Math.round((100 * unkept) / Math.max(1, promised))} %`,
    );
  }
}

async function large(count: number): Promise<void> {
  const predictor = stockPredictor(count);
  const clays = predictor.model.clays.map((_, i) => i);
  const at = values.at === undefined ? undefined : Number(values.at);
  const { found, reachS, allS } = await pilesOf(predictor, clays, at ?? FAMILY, at ?? SAME);
  console.log(
    `\n${count} clays, ${found.reach.tried} recipes: ${reachS.toFixed(1)} s of the processor to look at all, ${(allS - reachS).toFixed(1)} s for ${found.frontier.length} pairs of piles; ${found.frontier.filter(({ proven }) => proven).length} proven`,
  );
  for (const { from, cost } of found.frontier)
    console.log(`  from ${from.toFixed(2)}: buy ${cost}`);
}

if (Number(values.lines) > 0) await equal(Number(values.lines));
for (const count of values.large.split(',').map(Number)) if (count > 0) await large(count);
