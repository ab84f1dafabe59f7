import { describe, expect, it } from 'vitest';
import {
  D50,
  type Mix,
  PAINTS,
  randomFrom,
  STUDIO,
  tile,
} from '../../../test/conformance/virtual-studio.ts';
import { type ClayModel, combinationOf, modelFromFit } from '../clay/clay-model.ts';
import { fitClays } from '../clay/fit.ts';
import { openModel, type Predictor, predictMix } from '../clay/predict.ts';
import { shippedPrior } from '../clay/shipped-prior.ts';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { AppError } from '../errors.ts';
import { startSearch } from './search.ts';
import { startExhaustiveSearch } from './search-exhaustive.ts';
import { ALL_IDEAS } from './search-ideas.ts';
import type { SearchHit, SearchOptions } from './search-options.ts';

const { white, black, red, blue, yellow } = PAINTS;

/** A model that has learned a departure from simple addition, with and without white in it. */
function learnedModel(): ClayModel {
  const tiles = [
    ...STUDIO.map((mix) => tile(mix)),
    // Read as another recipe would be: the pair and the triple really depart.
    tile(
      [
        [blue, 3],
        [yellow, 4],
      ],
      {
        believed: [
          [blue, 1],
          [yellow, 1],
        ],
        partsSpread: 0.02,
      },
    ),
    tile(
      [
        [blue, 4],
        [red, 3],
        [white, 3],
      ],
      {
        believed: [
          [blue, 1],
          [red, 1],
          [white, 1],
        ] as Mix,
      },
    ),
  ];
  const model = modelFromFit(fitClays(tiles, shippedPrior()));
  // Tints alone hardly tell the exponent here; give it the size that measured pastes have.
  return { ...model, physics: { ...model.physics, dilution: 0.05 } };
}
const model = learnedModel();
const predictor = openModel(model);
const index = (name: string) => model.clays.findIndex((p) => p.name === name);
const ALL = model.clays.map((_, i) => i);
const AIM: Lab = [55, 22, 31];
const BASE: SearchOptions = {
  aim: AIM,
  weights: D50,
  geometry: 'included',
  clays: ALL,
  mostClays: 3,
  parts: 6,
  top: 10,
};

/** Every recipe of whole parts, one by one, no common divisor, predicted the long way. */
function bruteForce({
  clays,
  mostClays,
  parts,
  aim,
  weights,
  geometry,
}: SearchOptions): SearchHit[] {
  const found: SearchHit[] = [];
  const counts = clays.map(() => 0);
  const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b));
  const visit = (at: number, left: number) => {
    if (at < clays.length) {
      for (let n = 0; n <= left; n++) {
        counts[at] = n;
        visit(at + 1, left - n);
      }
      counts[at] = 0;
      return;
    }
    const used = clays.map((clay, i) => ({ clay, parts: counts[i] })).filter((t) => t.parts > 0);
    if (used.length === 0 || used.length > mostClays) return;
    if (used.reduce((d, t) => divisor(d, t.parts), 0) > 1) return;
    const total = used.reduce((sum, t) => sum + t.parts, 0);
    const { lab } = predictMix(
      predictor,
      used.map((t) => ({ clay: t.clay, share: t.parts / total })),
      { weights, ...(geometry === undefined ? {} : { geometry }), partsSpread: 0 },
    );
    found.push({ parts: used, lab, dE00: deltaE2000(aim, lab) });
  };
  visit(0, parts);
  return found.sort((a, b) => a.dE00 - b.dE00);
}

const keyOf = (recipe: SearchHit) =>
  [...recipe.parts]
    .sort((a, b) => a.clay - b.clay)
    .map((t) => `${t.parts}x${t.clay}`)
    .join('+');

describe.each([
  ['the search that bounds', startSearch],
  [
    'the same without its kernel',
    (opened: Predictor, options: SearchOptions) =>
      startSearch(opened, options, { ...ALL_IDEAS, kernel: false }),
  ],
  ['the search through every recipe', startExhaustiveSearch],
])('%s', (_name, start) => {
  function run(
    options: SearchOptions,
    budget = Number.MAX_SAFE_INTEGER,
    opened: Predictor = predictor,
  ) {
    const find = start(opened, options);
    while (!find.step(budget));
    return find;
  }

  it('has a learned departure of each kind to find', () => {
    const pair = combinationOf(model, [index(blue.name), index(yellow.name)])!;
    const triple = combinationOf(model, [index(blue.name), index(red.name), index(white.name)])!;
    for (const { departures } of [pair, triple]) {
      expect(Math.max(...departures.map(Math.abs))).toBeGreaterThan(0.005);
    }
  });

  it.each([
    ['included', 'D50', 2],
    ['excluded', 'D50', 2],
    ['included', 'A', 10],
    ['excluded', 'D65', 10],
  ] as const)(
    'predicts every recipe as the full prediction does (gloss %s, %s, %d degree)',
    (geometry, light, observer) => {
      const options = { ...BASE, geometry, weights: colourWeights(light, observer), top: 100_000 };
      const found = run(options).best();
      const expected = bruteForce(options);
      // Choices of up to 3 of 5 clays in up to 6 parts, multiples of smaller ones left out.
      expect(found).toHaveLength(expected.length);
      const byKey = new Map(expected.map((recipe) => [keyOf(recipe), recipe]));
      expect(byKey.size).toBe(expected.length);
      for (const recipe of found) {
        const long = byKey.get(keyOf(recipe))!;
        recipe.lab.forEach((v, axis) => {
          expect(Math.abs(v - long.lab[axis])).toBeLessThan(1e-9);
        });
        expect(Math.abs(recipe.dE00 - long.dE00)).toBeLessThan(1e-9);
      }
    },
  );

  it('lists the very best of all, in order, for any aim', () => {
    const random = randomFrom(99);
    const aims: Lab[] = [
      ...Array.from(
        { length: 12 },
        (): Lab => [
          10 + 85 * random.uniform(),
          120 * random.uniform() - 60,
          120 * random.uniform() - 60,
        ],
      ),
      // Aims at the ends of lightness, where the short cut by lightness is tightest.
      [0, 0, 0],
      [100, 0, 0],
      [99, -40, 90],
      [2, 30, -60],
    ];
    for (const aim of aims) {
      const found = run({ ...BASE, aim }).best();
      const expected = bruteForce({ ...BASE, aim }).slice(0, 10);
      expect(found.map((r) => r.dE00)).toHaveLength(10);
      found.forEach(({ dE00 }, i) => {
        expect(Math.abs(dE00 - expected[i].dE00)).toBeLessThan(1e-8);
      });
      expect(found[0].parts.length).toBeLessThanOrEqual(3);
    }
  });

  it('says 1 A + 1 B once, and never 2 A + 2 B', () => {
    const found = run({ ...BASE, top: 100_000 }).best();
    expect(new Set(found.map(keyOf)).size).toBe(found.length);
    const shares = found.map(({ parts }) => {
      const total = parts.reduce((sum, t) => sum + t.parts, 0);
      return [...parts]
        .sort((a, b) => a.clay - b.clay)
        .map((t) => `${t.clay}:${(t.parts / total).toFixed(9)}`)
        .join();
    });
    expect(new Set(shares).size).toBe(found.length);
  });

  it.each([1, 7, 100])('gives the same answer in steps of %d as in one', (budget) => {
    const whole = run(BASE);
    const stepped = run(BASE, budget);
    expect(stepped.best()).toEqual(whole.best());
    expect(stepped.total).toEqual(whole.total);
  });

  it('stops near its budget and goes on from there', () => {
    const find = start(predictor, { ...BASE, parts: 10 });
    expect(find.step(10)).toBe(false);
    expect(find.settled).toBeLessThan(1);
    let before = 0;
    for (let steps = 0; !find.step(10); steps++) {
      expect(find.settled).toBeGreaterThanOrEqual(before);
      before = find.settled;
      expect(steps).toBeLessThan(10_000);
    }
    expect(find.settled).toBeCloseTo(1, 9);
    expect(find.step(10)).toBe(true);
  });

  it.each([
    [5, 3, 6],
    [5, 1, 9],
    [5, 5, 7],
    [2, 4, 3],
    [4, 4, 2],
  ])('counts its recipes: %d clays, at most %d in one, %d parts', (clays, mostClays, parts) => {
    // Compositions counted one by one, those with a common factor left out.
    let expected = 0;
    const counts = new Array<number>(clays).fill(0);
    const divisorOf = (all: readonly number[]) =>
      all.reduce((a, b) => {
        let [x, y] = [a, b];
        while (y !== 0) [x, y] = [y, x % y];
        return x;
      }, 0);
    const visit = (at: number, left: number, used: number) => {
      if (at === clays) {
        if (used > 0 && used <= mostClays && divisorOf(counts) === 1) expected++;
        return;
      }
      for (let n = 0; n <= left; n++) {
        counts[at] = n;
        visit(at + 1, left - n, used + (n > 0 ? 1 : 0));
      }
    };
    visit(0, parts, 0);
    const find = run({ ...BASE, clays: ALL.slice(0, clays), mostClays, parts });
    expect(find.total).toBe(expected);
  });

  it.each<Mix>([
    [
      [blue, 2],
      [yellow, 3],
    ],
    [
      [red, 1],
      [white, 4],
    ],
    [
      [blue, 1],
      [red, 2],
      [white, 3],
    ],
    [
      [black, 1],
      [yellow, 5],
    ],
    [[white, 1]],
  ])('finds the recipe that an aim was made from', (...mix) => {
    const total = mix.reduce((sum, [, parts]) => sum + parts, 0);
    const parts = mix.map(([p, n]) => ({ clay: index(p.name), share: n / total }));
    const { lab } = predictMix(predictor, parts, {
      weights: D50,
      geometry: 'included',
      partsSpread: 0,
    });
    const [best] = run({ ...BASE, aim: lab }).best();
    expect(best.dE00).toBeLessThan(1e-9);
    expect(keyOf(best)).toBe(
      keyOf({ lab, dE00: 0, parts: mix.map(([p, n]) => ({ clay: index(p.name), parts: n })) }),
    );
  });

  it('takes the model own gloss when none is asked for, and only the clays it is given', () => {
    const { geometry: _, ...rest } = BASE;
    expect(run(rest).best()).toEqual(run({ ...BASE, geometry: model.geometry }).best());
    const allowed = [index(red.name), index(white.name)];
    for (const { parts } of run({ ...BASE, clays: allowed, top: 1000 }).best()) {
      for (const { clay } of parts) expect(allowed).toContain(clay);
    }
  });

  it('prefers fewer parts of two that are equally good', () => {
    // A model of two clays that are the same: every recipe of them is the same colour.
    const twin = model.clays[index(red.name)];
    const twins = { ...model, clays: [twin, { ...twin, name: 'Twin' }], combinations: [] };
    const found = run({ ...BASE, clays: [0, 1], parts: 4, top: 3 }, 1e6, openModel(twins)).best();
    const totals = found.map(({ parts }) => parts.reduce((sum, t) => sum + t.parts, 0));
    expect(totals.slice(0, 2)).toEqual([1, 1]);
  });

  it.each<[string, Partial<SearchOptions>]>([
    ['no clays', { clays: [] }],
    ['a clay twice', { clays: [0, 0] }],
    ['a clay the model does not hold', { clays: [0, 17] }],
    ['no parts', { parts: 0 }],
    ['half a part', { parts: 2.5 }],
    ['no clays in a recipe', { mostClays: 0 }],
    ['an empty list', { top: 0 }],
    ['a count that is not a number', { parts: Number.NaN }],
    // Counts wrapped around in their byte, and 256 parts came out as none.
    ['more parts than it can count', { clays: [0, 1], parts: 256 }],
    ['a limit that is not a number', { below: Number.NaN }],
    ['an aim that is not a number', { aim: [50, Number.NaN, 0] }],
  ])('refuses %s', (_, wrong) => {
    expect(() => run({ ...BASE, ...wrong })).toThrow(AppError);
  });
});
