import { describe, expect, it } from 'vitest';
import { seededChance } from '../numeric/seeded-chance.ts';
import { shortOf } from './makable.ts';
import type { MixNode } from './mix-graph.ts';
import { mixResolver } from './resolve-mix.ts';

const asks = (
  mixes: Record<string, MixNode>,
  grams: Record<string, number>,
  densities: Record<string, number> = {},
) => ({
  mixes: new Map(Object.entries(mixes)),
  densityGPerCm3: (id: string) => densities[id],
  grams: (id: string) => grams[id],
});
const of = (...parts: readonly (readonly [string, number])[]) =>
  parts.map(([clay, count]) => ({ clay, parts: count }));

describe('whether a batch can be made', () => {
  it('counts grams by weight as they stand, by volume through the densities', () => {
    const parts = of(['kelp', 1], ['foam', 1]);
    const grams = { kelp: 60, foam: 40 };
    const weight = asks({ moss: { basis: 'weight', parts } }, grams);
    expect(shortOf('moss', 80, weight)).toEqual([]);
    expect(shortOf('moss', 100, weight)).toEqual(['foam']);
    // Kelp 1.8 and foam 1.2 g/cm3: 100 g by equal volumes are 60 and 40 g.
    const volume = asks({ moss: { basis: 'volume', parts } }, grams, { kelp: 1.8, foam: 1.2 });
    expect(shortOf('moss', 100, volume)).toEqual([]);
    expect(shortOf('moss', 101, volume)).toEqual(['kelp', 'foam']);
  });

  it('counts no block twice, and uses up leftover clay of a mix before its parts', () => {
    const mixes: Record<string, MixNode> = {
      moss: { basis: 'weight', parts: of(['kelp', 1], ['foam', 1]) },
      reef: { basis: 'weight', parts: of(['moss', 1], ['kelp', 1]) },
    };
    // 100 g of reef is 75 g kelp and 25 g foam.
    expect(shortOf('reef', 100, asks(mixes, { kelp: 75, foam: 25 }))).toEqual([]);
    expect(shortOf('reef', 100, asks(mixes, { kelp: 74, foam: 25 }))).toEqual(['kelp']);
    expect(shortOf('reef', 100, asks(mixes, { kelp: 55, foam: 5, moss: 40 }))).toEqual([]);
  });

  it('names what was never weighed, powders too, and a circle', () => {
    const mixes: Record<string, MixNode> = {
      moss: {
        basis: 'weight',
        parts: of(['kelp', 1]),
        powders: [{ powder: 'mica', share: 0.1 }],
      },
      ring: { basis: 'weight', parts: of(['ring', 1]) },
    };
    expect(shortOf('moss', 10, asks(mixes, { kelp: 9 }))).toEqual(['mica']);
    expect(shortOf('moss', 10, asks(mixes, { kelp: 9, mica: 1 }))).toEqual([]);
    expect(shortOf('ring', 10, asks(mixes, { kelp: 9 }))).toEqual(['ring']);
  });

  // Each half of the two before it: down to the blocks there are more than 10^12 ways.
  it('visits a mix once, however often it is part of others', () => {
    const mixes = new Map<string, MixNode>([
      ['m0', { basis: 'weight', parts: of(['kelp', 1]) }],
      ['m1', { basis: 'weight', parts: of(['foam', 1]) }],
    ]);
    for (let i = 2; i < 60; i++) {
      mixes.set(`m${i}`, { basis: 'volume', parts: of([`m${i - 1}`, 1], [`m${i - 2}`, 1]) });
    }
    let asked = 0;
    const ask = {
      mixes,
      densityGPerCm3: () => 1.4,
      grams: (id: string) => {
        asked++;
        return mixes.has(id) ? undefined : 67;
      },
    };
    // Halves of halves: two thirds are foam, 66.7 g of 100.
    expect(shortOf('m59', 100, ask)).toEqual([]);
    expect(shortOf('m59', 101, ask)).toEqual(['foam']);
    expect(asked).toBeLessThan(1000);
  });

  it('agrees with the exact way down to the blocks', () => {
    const { uniform } = seededChance(12);
    const upTo = (n: number) => Math.floor(uniform() * n);
    let [yes, no] = [0, 0];
    for (let run = 0; run < 300; run++) {
      const mixes: Record<string, MixNode> = {};
      for (let i = 0; i < 5; i++) {
        const names = [0, 1, 2].map(() =>
          i > 0 && uniform() < 0.4 ? `m${upTo(i)}` : `b${upTo(5)}`,
        );
        mixes[`m${i}`] = {
          basis: 'weight',
          parts: of(...[...new Set(names)].map((name) => [name, 1 + upTo(6)] as const)),
        };
      }
      const grams = Object.fromEntries([0, 1, 2, 3, 4].map((i) => [`b${i}`, upTo(60)]));
      const found = mixResolver({
        blocks: new Map([0, 1, 2, 3, 4].map((i) => [`b${i}`, {}])),
        mixes: new Map(Object.entries(mixes)),
      }).resolve('m4');
      if (found.status !== 'resolved') throw new Error(found.says);
      // A batch no multiple of a count, so that no sum lies on the edge.
      const batchG = 31.4159;
      const lacking = found.blocks
        .filter(({ id, share }) => share * batchG > grams[id])
        .map(({ id }) => id);
      const short = shortOf('m4', batchG, asks(mixes, grams));
      expect([...short].sort()).toEqual([...lacking].sort());
      short.length === 0 ? yes++ : no++;
    }
    expect(yes).toBeGreaterThan(20);
    expect(no).toBeGreaterThan(20);
  });
});
