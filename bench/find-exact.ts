/**
 * Exactness: the ten best of the bounded search against all recipes, on seeded aims under random
 *            rules. Colours of all recipes come once from the frozen plain maths (`plainMix`),
 *            rules are applied by separate code, so that nothing is shared with the search.
 *
 * Run:     npx tsx bench/find-exact.ts [--aims 300] [--clays 24] [--parts 12] [--seed 1]
 */
import { parseArgs } from 'node:util';
import { colourWeights } from '../src/core/colour/weights.ts';
import { startSearch } from '../src/core/search/search.ts';
import type { SearchRules } from '../src/core/search/search-rules.ts';
import { plainDeltaE2000, plainMix } from './plain-search.ts';
import { type Random, randomFrom } from './random.ts';
import { seededAims, stockPlain, stockPredictor } from './stock.ts';

const { values } = parseArgs({
  options: {
    aims: { type: 'string', default: '300' },
    clays: { type: 'string', default: '24' },
    parts: { type: 'string', default: '12' },
    seed: { type: 'string', default: '1' },
  },
});
const [AIMS, CLAYS, PARTS, SEED] = ['aims', 'clays', 'parts', 'seed'].map((name) =>
  Number(values[name as keyof typeof values]),
);
const MOST = 4;
const TOP = 10;

const predictor = stockPredictor(CLAYS);
const plain = stockPlain(predictor);
const started = performance.now();
const { sets, counts, labs, length } = allRecipes();
console.log(
  `${length.toLocaleString('en')} recipes worked out in ${((performance.now() - started) / 1000).toFixed(0)} s`,
);

const random = randomFrom(SEED + 77);
let worst = 0;
let short = 0;
let ruled = 0;
seededAims(predictor, AIMS, SEED).forEach(({ lab }) => {
  const rules = randomRules(random);
  if (Object.keys(rules).length > 0) ruled++;
  const expected = bestOf(lab, rules);
  const find = startSearch(predictor, {
    aim: lab,
    weights: colourWeights('D50', 2),
    geometry: predictor.model.geometry,
    clays: predictor.coefficients.map((_, i) => i),
    mostClays: MOST,
    parts: PARTS,
    top: TOP,
    rules,
  });
  while (!find.step(1e6));
  const found = find.best().map(({ dE00 }) => dE00);
  if (found.length !== expected.length) short++;
  expected.forEach((dE00, i) => {
    worst = Math.max(worst, Math.abs(dE00 - (found[i] ?? Number.POSITIVE_INFINITY)));
  });
});
console.log(
  `${AIMS} aims, ${ruled} of them under rules: ten best differ by ${worst.toExponential(1)} at most; ${short} lists of another length`,
);

function allRecipes() {
  const setsOf: number[] = [];
  const countsOf: number[] = [];
  const labsOf: number[] = [];
  const chosen: { clay: number; parts: number }[] = [];
  const visit = (from: number, left: number) => {
    for (let clay = from; clay < CLAYS; clay++) {
      const own = { clay, parts: 0 };
      chosen.push(own);
      while (own.parts < left) {
        own.parts++;
        if (chosen.reduce((d, { parts }) => divisor(d, parts), 0) === 1) {
          for (let i = 0; i < MOST; i++) {
            setsOf.push(chosen[i]?.clay ?? 255);
            countsOf.push(chosen[i]?.parts ?? 0);
          }
          labsOf.push(...plainMix(plain, chosen));
        }
        if (chosen.length < MOST) visit(clay + 1, left - own.parts);
      }
      chosen.pop();
    }
  };
  visit(0, PARTS);
  return {
    sets: Uint8Array.from(setsOf),
    counts: Uint8Array.from(countsOf),
    labs: Float64Array.from(labsOf),
    length: labsOf.length / 3,
  };
}

function bestOf(aim: readonly [number, number, number], rules: SearchRules): number[] {
  const best: number[] = [];
  for (let r = 0; r < length; r++) {
    const limit = best.length < TOP ? Number.POSITIVE_INFINITY : best[TOP - 1];
    // S_L is at most 1.747.
    if (Math.abs(labs[3 * r] - aim[0]) > 1.75 * limit) continue;
    if (!meetsRules(r, rules)) continue;
    const dE00 = plainDeltaE2000(aim, [labs[3 * r], labs[3 * r + 1], labs[3 * r + 2]]);
    if (dE00 >= limit) continue;
    best.push(dE00);
    best.sort((one, other) => one - other);
    if (best.length > TOP) best.pop();
  }
  return best;
}

function meetsRules(r: number, { must, least, most, lines }: SearchRules): boolean {
  const share = new Map<number, number>();
  let total = 0;
  for (let i = 0; i < MOST; i++) {
    const n = counts[r * MOST + i];
    total += n;
    if (n > 0) share.set(sets[r * MOST + i], n);
  }
  const of = (clays: readonly number[]) =>
    clays.reduce((sum, p) => sum + (share.get(p) ?? 0), 0) / total;
  if (must?.some((p) => !share.has(p))) return false;
  if (least?.some((rule) => of(rule.clays) < rule.share - 1e-9)) return false;
  if (most?.some((rule) => of(rule.clays) > rule.share + 1e-9)) return false;
  const used = new Set([...share.keys()].map((p) => lines?.of[p]));
  return lines === undefined || used.size <= lines.most;
}

function randomRules(from: Random): SearchRules {
  const some = (n: number) => Array.from({ length: n }, () => from.whole(0, CLAYS - 1));
  const distinct = (n: number) => [...new Set(some(n))];
  const yes = () => from.uniform() < 0.3;
  return {
    ...(yes() ? { must: distinct(from.whole(1, 2)) } : {}),
    ...(yes() ? { least: [{ clays: distinct(8), share: 0.6 * from.uniform() }] } : {}),
    ...(yes() ? { most: [{ clays: distinct(4), share: 0.5 * from.uniform() }] } : {}),
    ...(yes()
      ? {
          lines: {
            of: Array.from({ length: CLAYS }, (_, p) => `line ${p % 3}`),
            most: from.whole(1, 2),
          },
        }
      : {}),
  };
}

function divisor(a: number, b: number): number {
  return b === 0 ? a : divisor(b, a % b);
}
