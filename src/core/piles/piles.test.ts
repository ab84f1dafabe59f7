import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { plainFewest, plainHolds, plainReach } from '../../../bench/plain-piles.ts';
import { stockPlain, stockPredictor } from '../../../bench/stock.ts';
import { highsOptimiser } from '../../solver/highs-optimiser.ts';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { predictViewed } from '../find/predicted-mix.ts';
import { answered } from '../find/work-steps.ts';
import type { Optimiser } from '../numeric/linear-problem.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import { startSearch } from '../search/search.ts';
import { isFartherThan } from './close-colours.ts';
import { exchangeable, findingPiles, type PilesAsked } from './piles.ts';
import { startReach } from './reach.ts';

const HOUSE = { light: 'D50', observer: 2 } as const;
const PARTS = 6;
const predictor = stockPredictor(46);
const plain = stockPlain(predictor);
let optimiser: Optimiser;
beforeAll(async () => {
  optimiser = await highsOptimiser();
});

function lineOf(seed: number, size: number): number[] {
  const chance = seededChance(seed);
  const pool = predictor.model.clays.map((_, i) => i);
  return Array.from(
    { length: size },
    () => pool.splice(Math.floor(chance.uniform() * pool.length), 1)[0],
  );
}

function reachOf(clays: readonly number[], within: number) {
  const labs = clays.map((clay) => predictViewed(predictor, [{ clay, share: 1 }], HOUSE).lab);
  return startReach(predictor, {
    clays,
    labs,
    mostClays: 3,
    parts: PARTS,
    within,
    mayServe: () => true,
  });
}

function piles(clays: readonly number[], asked: Partial<PilesAsked> & { tolerance: number }) {
  return answered(
    findingPiles(reachOf(clays, asked.tolerance), {
      terms: clays.map(() => ({ cost: 1 })),
      ...asked,
    }),
    { nowMs: () => 0, breathe: async () => {}, optimiser: async () => optimiser },
  );
}

const bitsOf = (held: Uint8Array) => held.reduce((sum, one, i) => sum | (one << i), 0);

describe('two piles', () => {
  it('buy as few blocks as trying every set finds', async () => {
    for (let seed = 1; seed <= 6; seed++) {
      const clays = lineOf(seed, 8);
      const reach = plainReach(plain, clays, PARTS);
      for (const tolerance of [1.8, 3.5, 7]) {
        const found = await piles(clays, { tolerance });
        expect(found.piles?.proven).toBe(true);
        expect(found.piles?.cost).toBe(plainFewest(reach, tolerance));
        expect(plainHolds(reach, bitsOf(found.piles!.held), tolerance)).toBe(true);
      }
    }
  });

  it('at every tolerance of the frontier are the fewest, and the frontier misses none', async () => {
    const clays = lineOf(11, 9);
    const reach = plainReach(plain, clays, PARTS);
    const { frontier } = await piles(clays, { tolerance: 7, downTo: 0.8 });
    expect(frontier.length).toBeGreaterThan(1);
    for (let tolerance = 7; tolerance >= 0.8; tolerance -= 0.31) {
      const at = frontier.find(({ from }) => from <= tolerance);
      expect(at?.cost).toBe(plainFewest(reach, tolerance));
    }
  });

  it('keep to what the user always and never buys', async () => {
    const clays = lineOf(3, 8);
    const free = await piles(clays, { tolerance: 5 });
    const [bought] = [...free.piles!.held].flatMap((one, i) => (one === 1 ? [i] : []));
    const [left] = [...free.piles!.held].flatMap((one, i) => (one === 0 ? [i] : []));
    const { piles: pinned } = await piles(clays, {
      tolerance: 5,
      terms: clays.map((_, i) => ({
        cost: 1,
        ...(i === left ? { pinned: 'always' } : i === bought ? { pinned: 'never' } : {}),
      })),
    });
    expect(pinned?.held[left]).toBe(1);
    expect(pinned?.held[bought]).toBe(0);
  });

  it('buy the cheaper of two sets', async () => {
    const clays = lineOf(2, 8);
    const { piles: few } = await piles(clays, { tolerance: 7 });
    const terms = clays.map((_, i) => ({ cost: few!.held[i] === 1 ? 9 : 1 }));
    const { piles: cheap } = await piles(clays, { tolerance: 7, terms });
    const reach = plainReach(plain, clays, PARTS);
    let least = Number.POSITIVE_INFINITY;
    for (let held = 1; held < 256; held++) {
      if (!plainHolds(reach, held, 7)) continue;
      least = Math.min(
        least,
        terms.reduce((sum, { cost }, i) => sum + ((held >> i) & 1) * cost, 0),
      );
    }
    expect(cheap?.cost).toBe(least);
  });

  it('name a block in place of another only where all the rest can still be mixed', async () => {
    const clays = lineOf(5, 9);
    const reach = plainReach(plain, clays, PARTS);
    const terms = clays.map(() => ({ cost: 1 }));
    const found = await piles(clays, { tolerance: 7 });
    const named = exchangeable(found.makeable, found.piles!, terms, 7);
    const bits = bitsOf(found.piles!.held);
    for (const [bought, others] of named) {
      const without = bits & ~(1 << bought);
      const holds = clays.flatMap((_, i) =>
        (bits >> i) & 1 ? [] : plainHolds(reach, without | (1 << i), 7) ? [i] : [],
      );
      expect(others).toEqual(holds);
    }
  });
});

describe('reach', () => {
  it('has for each block the closest recipe that a search from the others finds', () => {
    const clays = lineOf(8, 10);
    const run = reachOf(clays, 7);
    while (!run.step(10_000));
    const { closest, tried } = run.reach();
    expect(tried).toBe(run.total);
    clays.forEach((clay, block) => {
      const aim = predictViewed(predictor, [{ clay, share: 1 }], HOUSE).lab;
      const search = startSearch(predictor, {
        aim,
        weights: colourWeights('D50', 2),
        clays: clays.filter((other) => other !== clay),
        mostClays: 3,
        parts: PARTS,
        top: 1,
      });
      while (!search.step(100_000));
      expect(closest[block]?.dE00).toBeCloseTo(search.best()[0].dE00, 9);
    });
  });

  it('passes over no colour that is close enough', () => {
    const colour: fc.Arbitrary<Lab> = fc.tuple(
      fc.double({ min: 0, max: 100, noNaN: true }),
      fc.double({ min: -120, max: 120, noNaN: true }),
      fc.double({ min: -120, max: 120, noNaN: true }),
    );
    const step = fc.double({ min: -12, max: 12, noNaN: true });
    fc.assert(
      fc.property(colour, fc.tuple(step, step, step), ([l, a, b], [dl, da, db]) => {
        const other: Lab = [Math.min(100, Math.max(0, l + dl)), a + da, b + db];
        const dE00 = deltaE2000([l, a, b], other);
        expect(isFartherThan(dE00 + 1e-9, [l, a, b], other)).toBe(false);
      }),
      { numRuns: 20_000, seed: 4 },
    );
  });
});
