/**
 * The search compared with every recipe for odd stocks: one clay, the same clay twice, all of one
 * colour, special clays that are lighter than white, parts that hold more of one clay than of
 * another, rules that leave nothing, aims out of the gamut. Recipes are listed here, coloured by
 * the frozen plain maths and checked by separate code for the rules, so nothing is shared with the
 * search.
 */
import { describe, expect, it } from 'vitest';
import { plainDeltaE2000, plainMix } from '../../bench/plain-search.ts';
import { type Random, randomFrom } from '../../bench/random.ts';
import { stockPlain, stockPredictor } from '../../bench/stock.ts';
import type { Predictor } from '../../src/core/clay/predict.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { colourWeights } from '../../src/core/colour/weights.ts';
import { startSearch } from '../../src/core/search/search.ts';
import { startExhaustiveSearch } from '../../src/core/search/search-exhaustive.ts';
import { ALL_IDEAS } from '../../src/core/search/search-ideas.ts';
import type { SearchOptions } from '../../src/core/search/search-options.ts';
import type { SearchRules, ShareRule } from '../../src/core/search/search-rules.ts';

/** Two ways of summing the same 36 bands, and the effect of rounding on a small difference. */
const ROUNDING = 1e-7;
/** Shares that meet a rule only by rounding. */
const SLACK = 1e-9;
const LIGHTS = [colourWeights('D50', 2), colourWeights('A', 10)] as const;
const POOL = stockPredictor(200);

interface Recipe {
  readonly parts: readonly { readonly clay: number; readonly parts: number }[];
  readonly dE00: number;
}

/** A stock of clays from the pool, each as often as its number occurs, some of them special. */
function stockOf(
  clays: readonly number[],
  departures: ReadonlyMap<number, Lab> = new Map(),
): Predictor {
  const { model, coefficients } = POOL;
  return {
    coefficients: clays.map((c) => coefficients[c]),
    model: {
      ...model,
      clays: clays.map((c, i) => {
        const departure = departures.get(i);
        return {
          ...model.clays[c],
          name: `Clay ${i}`,
          ...(departure === undefined
            ? {}
            : {
                effect: {
                  effect: 'pearl' as const,
                  block: 0,
                  departure: Float64Array.from(departure),
                },
              }),
        };
      }),
    },
  };
}

/** Every recipe that meets the rules, the closest first. */
function everyRecipe(predictor: Predictor, options: SearchOptions): Recipe[] {
  const { clays, mostClays, parts, rules = {}, amounts, below } = options;
  const views = [options, ...(options.otherLights ?? [])].map((view) => ({
    aim: view.aim,
    stock: stockPlain(predictor, view.weights),
  }));
  const labOf = (view: number, counts: Recipe['parts']): Lab => {
    const held = counts.map(({ clay, parts }) => ({
      clay,
      parts: parts * (amounts?.[clay] ?? 1),
    }));
    const total = held.reduce((sum, part) => sum + part.parts, 0);
    const lab = [...plainMix(views[view].stock, held)] as [number, number, number];
    for (const { clay, parts } of held) {
      const departure = predictor.model.clays[clay].effect?.departure ?? [0, 0, 0];
      for (let k = 0; k < 3; k++) lab[k] += (parts / total) * departure[k];
    }
    return lab;
  };
  const found: Recipe[] = [];
  const chosen: { clay: number; parts: number }[] = [];
  const visit = (from: number, left: number) => {
    for (let p = from; p < clays.length; p++) {
      const own = { clay: clays[p], parts: 0 };
      chosen.push(own);
      while (own.parts < left) {
        own.parts++;
        if (chosen.reduce((d, part) => divisor(d, part.parts), 0) === 1 && keeps()) offer();
        if (chosen.length < mostClays) visit(p + 1, left - own.parts);
      }
      chosen.pop();
    }
  };
  const offer = () => {
    const dE00 = Math.max(...views.map(({ aim }, v) => plainDeltaE2000(aim, labOf(v, chosen))));
    if (below !== undefined && dE00 > below) return;
    found.push({ parts: chosen.map((part) => ({ ...part })), dE00 });
  };
  const keeps = () => {
    const { must = [], least = [], most = [], lines, halfPart } = rules;
    const has = (clay: number) => chosen.some((part) => part.clay === clay);
    if (!must.every(has)) return false;
    if (lines !== undefined) {
      const used = new Set(chosen.map(({ clay }) => lines.of[clay]));
      if (used.size > lines.most) return false;
    }
    const shareOf = ({ clays: of, weights }: ShareRule) => {
      const weight = (part: Recipe['parts'][number]) => part.parts * (weights?.[part.clay] ?? 1);
      const all = chosen.reduce((sum, part) => sum + weight(part), 0);
      const mine = chosen.filter(({ clay }) => of.includes(clay));
      return mine.reduce((sum, part) => sum + weight(part), 0) / all;
    };
    if (!least.every((rule) => shareOf(rule) >= rule.share - SLACK)) return false;
    if (!most.every((rule) => shareOf(rule) <= rule.share + SLACK)) return false;
    if (halfPart === undefined || chosen.length < 2) return true;
    const total = chosen.reduce((sum, part) => sum + part.parts, 0);
    const half = 0.5 / Math.floor(parts / total);
    return chosen.every((_, i) =>
      [half, -half].every((by) => {
        const moved = chosen.map((part, j) =>
          i === j ? { ...part, parts: part.parts + by } : part,
        );
        return plainDeltaE2000(labOf(0, chosen), labOf(0, moved)) <= halfPart;
      }),
    );
  };
  visit(0, parts);
  return found.sort((one, other) => one.dE00 - other.dE00);
}

function divisor(a: number, b: number): number {
  return b === 0 ? a : divisor(b, a % b);
}

const SEARCHES = [
  ['with its kernel', startSearch],
  [
    'without it',
    (predictor: Predictor, options: SearchOptions) =>
      startSearch(predictor, options, { ...ALL_IDEAS, kernel: false }),
  ],
  ['that tries every recipe', startExhaustiveSearch],
] as const;

/** Compares the answer of a search with the list of all recipes. */
function expectSame(predictor: Predictor, options: SearchOptions, all: readonly Recipe[]): void {
  const expected = all.slice(0, options.top);
  const known = new Map(all.map((recipe) => [keyOf(recipe), recipe.dE00]));
  for (const [name, start] of SEARCHES) {
    const run = start(predictor, options);
    while (!run.step(10_000));
    const found = run.best();
    expect(found.length, name).toBe(expected.length);
    found.forEach((recipe, i) => {
      expect(Math.abs(recipe.dE00 - expected[i].dE00), name).toBeLessThan(ROUNDING);
      const own = known.get(keyOf(recipe));
      expect(own, `${name}: ${keyOf(recipe)} keeps to the rules`).toBeDefined();
      expect(Math.abs(recipe.dE00 - own!), name).toBeLessThan(ROUNDING);
    });
    expect(new Set(found.map(keyOf)).size, name).toBe(found.length);
  }
}

function keyOf({ parts }: Pick<Recipe, 'parts'>): string {
  return [...parts]
    .sort((one, other) => one.clay - other.clay)
    .map(({ clay, parts }) => `${clay}:${parts}`)
    .join(' ');
}

const range = (n: number) => Array.from({ length: n }, (_, i) => i);

/** One odd question. */
function question(random: Random): { predictor: Predictor; options: SearchOptions } {
  const yes = (chance: number) => random.uniform() < chance;
  const size = random.whole(1, 6);
  const alike = yes(0.15) ? random.whole(0, 199) : undefined;
  // Few numbers to draw from, so the same clay comes twice often.
  const from = yes(0.3) ? 3 : 200;
  const clays = range(size).map(() => alike ?? random.whole(0, from - 1));
  const departures = new Map<number, Lab>(
    yes(0.3)
      ? [[random.whole(0, size - 1), [24 * random.uniform() - 12, 6 * random.normal(), 6]]]
      : [],
  );
  const some = () => [...new Set(range(random.whole(1, 2)).map(() => random.whole(0, size - 1)))];
  const share = () => (yes(0.2) ? random.whole(0, 1) : random.uniform());
  const weighed = () =>
    yes(0.3) ? { weights: range(size).map(() => 0.7 + random.uniform()) } : {};
  const rule = (): ShareRule => ({ clays: some(), share: share(), ...weighed() });
  const rules: SearchRules = {
    ...(yes(0.2) ? { must: some() } : {}),
    ...(yes(0.2) ? { least: [rule()] } : {}),
    ...(yes(0.2) ? { most: [rule()] } : {}),
    ...(yes(0.2)
      ? { lines: { of: range(size).map((i) => `line ${i % 2}`), most: random.whole(1, 2) } }
      : {}),
    ...(yes(0.2) ? { halfPart: 0.2 + 3 * random.uniform() } : {}),
  };
  const aim = (): Lab =>
    yes(0.3)
      ? [random.whole(-5, 110), random.whole(-120, 120), random.whole(-120, 120)]
      : [100 * random.uniform(), 60 * random.uniform() - 30, 80 * random.uniform() - 30];
  return {
    predictor: stockOf(clays, departures),
    options: {
      aim: aim(),
      weights: LIGHTS[0],
      geometry: 'included',
      clays: range(size),
      mostClays: random.whole(1, 5),
      parts: random.whole(1, 8),
      top: [1, 3, 10, 5000][random.whole(0, 3)],
      rules,
      ...(yes(0.2) ? { otherLights: [{ aim: aim(), weights: LIGHTS[1] }] } : {}),
      ...(yes(0.3) ? { amounts: range(size).map(() => 0.5 + random.uniform()) } : {}),
      ...(yes(0.2) ? { below: 40 * random.uniform() } : {}),
    },
  };
}

describe('the search over odd stocks', () => {
  it('gives the best of every recipe there is, in every way of searching', () => {
    const random = randomFrom(815);
    let empty = 0;
    let tied = 0;
    for (let run = 0; run < 160; run++) {
      const { predictor, options } = question(random);
      const all = everyRecipe(predictor, options);
      if (all.length === 0) empty++;
      if (all.length > 1 && all[1].dE00 - all[0].dE00 < ROUNDING) tied++;
      expectSame(predictor, options, all);
    }
    // Both cases occurred often enough to count.
    expect(empty).toBeGreaterThan(10);
    expect(tied).toBeGreaterThan(10);
  });

  // S_L of CIEDE2000 keeps growing past L 100, where a clay that glows may be.
  it('leaves out nothing where a special clay is lighter than white', () => {
    const predictor = stockOf(
      [0, 0, 0, 40],
      new Map([
        [1, [14, 0, 0]],
        [2, [13.9, 0.3, 0]],
      ]),
    );
    const options: SearchOptions = {
      aim: [98, 0, 0],
      weights: LIGHTS[0],
      geometry: 'included',
      clays: [1, 2],
      mostClays: 1,
      parts: 1,
      top: 1,
    };
    const far = everyRecipe(predictor, options)[0].dE00;
    for (let l = 96; l <= 100; l += 0.05) {
      const aim: Lab = [l, 0, 0];
      expectSame(predictor, { ...options, aim }, everyRecipe(predictor, { ...options, aim }));
      const below = { ...options, aim, below: far };
      expectSame(predictor, below, everyRecipe(predictor, below));
    }
  });

  it('looks through 200 clays, with and without a clay that must be in it', () => {
    const predictor = stockOf(range(200));
    for (const [aim, rules] of [
      [[62, 30, 40], {}],
      [[35, -20, -25], { must: [150] }],
      [[80, -60, 70], { lines: { of: range(200).map((i) => `line ${i % 5}`), most: 1 } }],
    ] as const satisfies readonly (readonly [Lab, SearchRules])[]) {
      const options: SearchOptions = {
        aim,
        weights: LIGHTS[0],
        geometry: 'included',
        clays: range(200),
        mostClays: 2,
        parts: 5,
        top: 10,
        rules,
      };
      expectSame(predictor, options, everyRecipe(predictor, options));
    }
  });
});
