/**
 * Buying lists: against trying every choice of packages, and how close large ones are proven.
 *
 *  small   stocks of 12 blocks and 10 colours, some of it at hand: the cost against brute force
 *  large   46 blocks and 80 colours, recipes of at most 3 clays and 8 parts, at 60 and at 15 grams a colour:
 *          gap over all recipes, time, and the cost of choosing one colour after the other
 *
 * Run: npx tsx bench/buying.ts [--small 40] [--large 1] [--grams 60,15] [--tolerance 3.5]
 */
import { parseArgs } from 'node:util';
import { startRecipesWithin } from '../src/core/buying/recipes-within.ts';
import { shopping } from '../src/core/buying/shopping.ts';
import type { ShopBlock, ShoppingAsked } from '../src/core/buying/shopping-asked.ts';
import { HOUSE_VIEWING } from '../src/core/colour/house-viewing.ts';
import { predictViewed } from '../src/core/find/predicted-mix.ts';
import { answered } from '../src/core/find/work-steps.ts';
import { highsOptimiser } from '../src/solver/highs-optimiser.ts';
import { greedyCost, plainCheapest } from './plain-shopping.ts';
import { randomFrom } from './random.ts';
import { stockPredictor } from './stock.ts';

const { values } = parseArgs({
  options: {
    small: { type: 'string', default: '40' },
    large: { type: 'string', default: '1' },
    grams: { type: 'string', default: '60,15' },
    tolerance: { type: 'string', default: '3.5' },
  },
});
const TOLERANCE = Number(values.tolerance);
const predictor = stockPredictor(46);
const optimiser = await highsOptimiser();
const cpuS = () => process.cpuUsage().user / 1e6;

interface Shop {
  readonly seed: number;
  readonly size: number;
  readonly colours: number;
  readonly parts: number;
  readonly grams: number;
  readonly seconds: number;
  readonly gap: number;
}

/** A seeded shop: blocks at different prices, a third of them begun, and colours that can be mixed. */
function shopOf({ seed, size, colours, parts, grams, seconds, gap }: Shop): ShoppingAsked {
  const { uniform: random } = randomFrom(seed);
  const pool = predictor.model.clays.map((_, i) => i);
  const clays = Array.from(
    { length: size },
    () => pool.splice(Math.floor(random() * pool.length), 1)[0],
  ).sort((a, b) => a - b);
  const blocks = clays.map(
    (): ShopBlock => ({
      packageG: random() < 0.3 ? 85 : 57,
      cost: 250 + Math.round(300 * random()),
      onHandG: random() < 0.3 ? Math.round(40 * random()) : 0,
      isClosed: false,
      line: 'one',
    }),
  );
  const wanted = Array.from({ length: colours }, () => {
    const [a, b, c] = [0, 1, 2].map(() => clays[Math.floor(random() * size)]);
    const cuts = [random(), random(), random()];
    const all = cuts.reduce((sum, x) => sum + x, 0);
    const shares = new Map<number, number>();
    for (const [i, clay] of [a, b, c].entries()) {
      shares.set(clay, (shares.get(clay) ?? 0) + cuts[i] / all);
    }
    const mix = [...shares].map(([clay, share]) => ({ clay, share }));
    return { lab: predictViewed(predictor, mix, HOUSE_VIEWING).lab, tolerance: TOLERANCE };
  });
  const run = startRecipesWithin(predictor, {
    clays,
    wanted,
    mostClays: 3,
    parts,
    mayServe: () => true,
  });
  while (!run.step(1e6));
  const recipes = run.recipes().within.map((own) =>
    own.map(({ clays: at, counts }) => {
      const total = counts.reduce((sum, n) => sum + n, 0);
      return { uses: at.map((block, i) => ({ block, grams: (grams * counts[i]) / total })) };
    }),
  );
  return { blocks, recipes, gap, seconds, isThorough: true };
}

async function listOf(asked: ShoppingAsked) {
  return answered(shopping(asked), {
    nowMs: () => performance.now(),
    breathe: async () => {},
    optimiser: async () => optimiser,
  });
}

let equal = 0;
let proven = 0;
for (let seed = 1; seed <= Number(values.small); seed++) {
  const grams = seed % 2 === 0 ? 12 : 25;
  const asked = shopOf({ seed, size: 12, colours: 10, parts: 5, grams, seconds: 60, gap: 0 });
  const { cost, bound } = await listOf(asked);
  const plain = plainCheapest(asked);
  if (plain === cost) equal++;
  else console.log(`  stock ${seed}: ${cost}, brute force ${plain}`);
  if (bound > cost - 0.5) proven++;
}
if (Number(values.small) > 0) {
  console.log(`small: ${equal} of ${values.small} equal to brute force, ${proven} proven`);
}
for (const grams of Number(values.large) === 0 ? [] : values.grams.split(',').map(Number)) {
  const begun = cpuS();
  const asked = shopOf({
    seed: 80,
    size: 46,
    colours: 80,
    parts: 8,
    grams,
    seconds: 60,
    gap: 0.005,
  });
  const recipesS = cpuS() - begun;
  const { cost, bound, packages, chosen } = await listOf(asked);
  const allS = cpuS() - begun;
  const recipes = asked.recipes.reduce((sum, own) => sum + own.length, 0);
  const met = chosen.filter((at) => at !== undefined).length;
  console.log(
    `large, ${grams} g a colour: ${recipes} recipes of ${met} colours, ${packages.reduce((a, b) => a + b, 0)} packages, cost ${cost}, bound ${bound.toFixed(0)}, gap ${((100 * (cost - bound)) / cost).toFixed(2)} %, greedy ${greedyCost(asked)} (${((100 * greedyCost(asked)) / cost - 100).toFixed(0)} % more), ${recipesS.toFixed(1)} s for the recipes, ${(allS - recipesS).toFixed(1)} s for the list`,
  );
}
