import { describe, expect, it } from 'vitest';
import { D50, randomFrom, STUDIO, tile } from '../../../test/conformance/virtual-studio.ts';
import { modelFromFit } from '../clay/clay-model.ts';
import { fitClays } from '../clay/fit.ts';
import { openModel, predictMix } from '../clay/predict.ts';
import { shippedPrior } from '../clay/shipped-prior.ts';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { type PreMix, startPreMix, strongestPart, timesOver } from './pre-mix.ts';
import { startSearch } from './search.ts';
import type { SearchHit, SearchOptions } from './search-options.ts';

const model = modelFromFit(
  fitClays(
    STUDIO.map((mix) => tile(mix)),
    shippedPrior(),
  ),
);
const predictor = openModel(model);
const index = (name: string) => model.clays.findIndex((p) => p.name === name);
const [WHITE, BLACK, BLUE, YELLOW] = [
  'Titanium White',
  'Bone Black',
  'Cobalt Blue',
  'Diarylide Yellow',
].map(index);

type Amounts = ReadonlyMap<number, number>;

/** The long way: shares of the whole, then the full prediction. */
function labOf(amounts: Amounts, weights = D50): Lab {
  const total = [...amounts.values()].reduce((sum, v) => sum + v, 0);
  const parts = [...amounts].map(([clay, amount]) => ({ clay, share: amount / total }));
  return predictMix(predictor, parts, { weights, partsSpread: 0 }).lab;
}

function amountsOf(parts: SearchHit['parts']): Amounts {
  return new Map(parts.map(({ clay, parts }) => [clay, parts]));
}

/** What the pre-mix and the other parts hold, split into clays. */
function amountsIn({ strong, base, baseParts, preMixParts, others }: PreMix): Amounts {
  const out = new Map(others.map(({ clay, parts }) => [clay, parts]));
  const share = preMixParts / (1 + baseParts);
  out.set(strong, (out.get(strong) ?? 0) + share);
  out.set(base, (out.get(base) ?? 0) + share * baseParts);
  return out;
}

/** Every way in which half a part may be too much or too little. */
function halfPartsOff(preMix: PreMix): PreMix[] {
  return [0.5, -0.5].flatMap((by) => [
    { ...preMix, preMixParts: preMix.preMixParts + by },
    ...preMix.others.map((_, i) => ({
      ...preMix,
      others: preMix.others.map((part, j) =>
        i === j ? { ...part, parts: part.parts + by } : part,
      ),
    })),
  ]);
}

function optionsFor(aim: Lab, more: Partial<SearchOptions> = {}): SearchOptions {
  return {
    aim,
    weights: D50,
    clays: model.clays.map((_, i) => i),
    mostClays: 3,
    parts: 12,
    top: 1,
    ...more,
  };
}

function nearestTo(options: SearchOptions): SearchHit {
  const run = startSearch(predictor, options);
  while (!run.step(10_000));
  return run.best()[0];
}

/** Searched in uneven pieces, as a shell that pauses does. */
function preMixFor(...args: Parameters<typeof startPreMix>): PreMix | undefined {
  const run = startPreMix(...args);
  for (let budget = 1; !run.step(budget); budget += 7);
  return run.best();
}

const GREY = new Map([
  [WHITE, 40],
  [BLACK, 1],
  [YELLOW, 1],
]);

describe('how often a recipe is cut', () => {
  it('is as often as the parts allow, once at least', () => {
    const parts = [
      { clay: 0, parts: 2 },
      { clay: 1, parts: 3 },
    ];
    expect([4, 5, 9, 10, 12, 15].map((n) => timesOver(n, { parts }))).toEqual([1, 1, 1, 2, 2, 3]);
  });
});

describe('the part that counts most', () => {
  it('is the one whose half part moves the colour farthest, the long way too', () => {
    const options = optionsFor(labOf(GREY));
    for (const parts of [
      { [WHITE]: 11, [BLACK]: 1 },
      { [WHITE]: 2, [BLACK]: 1 },
      { [BLUE]: 1, [YELLOW]: 4, [WHITE]: 1 },
    ]) {
      const recipe = {
        parts: Object.entries(parts).map(([p, n]) => ({ clay: Number(p), parts: n })),
      };
      const amounts = amountsOf(recipe.parts);
      const half = 0.5 / timesOver(12, recipe);
      const moves = recipe.parts.map(({ clay, parts }) =>
        Math.max(
          ...[half, -half].map((by) =>
            deltaE2000(labOf(amounts), labOf(new Map(amounts).set(clay, parts + by))),
          ),
        ),
      );
      const found = strongestPart(predictor, options, { ...recipe, lab: [0, 0, 0], dE00: 0 });
      expect(found.moves).toBeCloseTo(Math.max(...moves), 6);
      expect(found.clay).toBe(recipe.parts[moves.indexOf(Math.max(...moves))].clay);
    }
  });
});

describe('a pre-mix', () => {
  it('keeps to the limit when the colour is worked out the long way', () => {
    const random = randomFrom(41);
    let made = 0;
    for (let run = 0; run < 25; run++) {
      // Tints, where one part of something strong decides.
      const aim = labOf(
        new Map([
          [WHITE, 20 + 40 * random.uniform()],
          [[BLACK, BLUE][run % 2], 0.5 + random.uniform()],
          [YELLOW, 3 * random.uniform()],
        ]),
      );
      const limit = 0.5 + 2 * random.uniform();
      const options = optionsFor(aim);
      const nearest = nearestTo(options);
      const preMix = preMixFor(predictor, options, nearest, limit);
      if (preMix === undefined) continue;
      made++;
      const whole = labOf(amountsIn(preMix));
      expect(deltaE2000(whole, preMix.lab)).toBeLessThan(1e-6);
      expect(preMix.dE00).toBeCloseTo(deltaE2000(aim, whole), 6);
      const moves = halfPartsOff(preMix).map((off) => deltaE2000(whole, labOf(amountsIn(off))));
      expect(preMix.halfPart).toBeCloseTo(Math.max(...moves), 6);
      expect(preMix.halfPart).toBeLessThanOrEqual(limit);
      expect(preMix.others.length).toBeGreaterThan(0);
      const counts = preMix.others.map(({ parts }) => parts);
      expect(counts.every((n) => Number.isInteger(n) && n > 0)).toBe(true);
      expect(counts.reduce((sum, n) => sum + n, preMix.preMixParts)).toBeLessThanOrEqual(12);
      expect([...amountsIn(preMix).keys()].toSorted()).toEqual(
        nearest.parts.map(({ clay }) => clay).toSorted(),
      );
    }
    expect(made).toBeGreaterThan(10);
  });

  it('is the closest of all that keep to the limit', () => {
    const aim = labOf(GREY);
    const options = optionsFor(aim, { parts: 6 });
    const nearest = nearestTo(options);
    const limit = 5;
    const preMix = preMixFor(predictor, options, nearest, limit);
    if (preMix === undefined) throw new Error('no pre-mix was made');
    // Every pre-mix of the same clays, one by one.
    const rest = nearest.parts.filter(({ clay }) => clay !== preMix.strong);
    let least = Number.POSITIVE_INFINITY;
    for (const baseParts of [9, 4, 2]) {
      for (let a = 0; a <= 5; a++) {
        for (let b = 0; b <= 5; b++) {
          for (let n = 1; n <= 6 - a - b; n++) {
            const others = rest
              .map(({ clay }, i) => ({ clay, parts: [a, b][i] ?? 0 }))
              .filter(({ parts }) => parts > 0);
            const bare = rest.some(
              ({ clay }) => clay !== preMix.base && !others.some((other) => other.clay === clay),
            );
            if (bare || others.length === 0 || (rest.length < 2 && b > 0)) continue;
            const tried = { ...preMix, baseParts, others, preMixParts: n };
            const lab = labOf(amountsIn(tried));
            const moves = halfPartsOff(tried).map((off) => deltaE2000(lab, labOf(amountsIn(off))));
            if (Math.max(...moves) <= limit) least = Math.min(least, deltaE2000(aim, lab));
          }
        }
      }
    }
    expect(preMix.dE00).toBeCloseTo(least, 6);
  });

  it('keeps to rules on shares, and is judged under every light', () => {
    const recipe: SearchHit = {
      parts: [
        { clay: WHITE, parts: 11 },
        { clay: BLACK, parts: 1 },
      ],
      lab: [0, 0, 0],
      dE00: 9,
    };
    const aim = labOf(
      new Map([
        [WHITE, 20],
        [BLACK, 1],
      ]),
    );
    const free = preMixFor(predictor, optionsFor(aim), recipe, 40);
    const share = (preMix: PreMix | undefined) => {
      if (preMix === undefined) throw new Error('no pre-mix was made');
      const amounts = amountsIn(preMix);
      return (amounts.get(BLACK) ?? 0) / ((amounts.get(BLACK) ?? 0) + (amounts.get(WHITE) ?? 0));
    };
    const bound = 0.9 * share(free);
    const rules = { most: [{ clays: [BLACK], share: bound }] };
    expect(share(preMixFor(predictor, optionsFor(aim, { rules }), recipe, 40))).toBeLessThan(
      bound + 1e-9,
    );

    const lamp = colourWeights('A', 2);
    const lampAim: Lab = [aim[0] - 6, aim[1], aim[2]];
    const both = optionsFor(aim, { otherLights: [{ aim: lampAim, weights: lamp }] });
    const judged = preMixFor(predictor, both, recipe, 40);
    if (judged === undefined) throw new Error('no pre-mix was made');
    const amounts = amountsIn(judged);
    expect(judged.dE00).toBeCloseTo(
      Math.max(deltaE2000(aim, labOf(amounts)), deltaE2000(lampAim, labOf(amounts, lamp))),
      6,
    );
    expect(share(judged)).toBeGreaterThan(share(free));
  });

  it('is not made of one clay alone, or where the limit is too narrow', () => {
    const options = optionsFor([90, 0, 0]);
    const alone = { parts: [{ clay: WHITE, parts: 1 }], lab: [0, 0, 0] as const, dE00: 1 };
    expect(preMixFor(predictor, options, alone, 5)).toBeUndefined();
    expect(preMixFor(predictor, options, nearestTo(options), 0.001)).toBeUndefined();
  });
});
