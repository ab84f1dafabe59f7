import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from '../../../test/conformance/uniform.ts';
import { AppError } from '../errors.ts';
import {
  addRational,
  numberFromRational,
  type Rational,
  rational,
  rationalFromNumber,
  timesRational,
} from '../numeric/rational.ts';
import { type BlockNode, type MixGraph, type MixNode, USUAL_DENSITY } from './mix-graph.ts';
import { mixResolver, RESOLVE_LIMITS, type ResolvedMix } from './resolve-mix.ts';

const RUNS = { seed: 5502, numRuns: 200 };
/** Sums of a few dozen 64-bit numbers between 0 and 1. */
const ROUNDING = 1e-12;

type Parts = Record<string, number>;

function mix(basis: MixNode['basis'], parts: Parts, powders: Parts = {}): MixNode {
  return {
    basis,
    parts: Object.entries(parts).map(([clay, n]) => ({ clay, parts: n })),
    powders: Object.entries(powders).map(([powder, share]) => ({ powder, share })),
  };
}

function graphOf(blocks: Record<string, BlockNode>, mixes: Record<string, MixNode>): MixGraph {
  return { blocks: new Map(Object.entries(blocks)), mixes: new Map(Object.entries(mixes)) };
}

function resolvedOf(graph: MixGraph, id: string, basis?: MixNode['basis']): ResolvedMix {
  const found = mixResolver(graph).resolve(id, basis);
  if (found.status !== 'resolved') throw new Error(`${id}: ${found.status}`);
  return found;
}

const exactly = (value: number) => ({ value, low: value, high: value });

/** Any book of five blocks and seven mixes, each made of what stands before it. */
const books = (bases: readonly MixNode['basis'][], mostPowders: number, groups: number) =>
  fc
    .tuple(
      fc.array(fc.integer({ min: 0, max: groups - 1 }), { minLength: 5, maxLength: 5 }),
      fc.array(between(1.2, 1.9), { minLength: 5, maxLength: 5 }),
      fc.array(
        fc.record({
          basis: fc.constantFrom(...bases),
          parts: fc.array(fc.tuple(fc.nat(1000), fc.constantFrom(1, 2, 3, 5, 8, 0.5, 0.16, 2.25)), {
            minLength: 1,
            maxLength: 4,
          }),
          powders: fc.array(fc.constantFrom(0.01, 0.02, 0.05, 0.125), { maxLength: mostPowders }),
        }),
        { minLength: 7, maxLength: 7 },
      ),
    )
    .map(([group, density, drafts]): MixGraph => {
      const ids = ['b0', 'b1', 'b2', 'b3', 'b4'];
      const blocks = new Map(
        ids.map((id, i): [string, BlockNode] => [
          id,
          {
            density: { value: density[group[i]], low: 1.2, high: 1.9 },
            densityGroup: `line ${group[i]}`,
          },
        ]),
      );
      const mixes = new Map<string, MixNode>();
      drafts.forEach(({ basis, parts, powders }, i) => {
        mixes.set(`m${i}`, {
          basis,
          parts: parts.map(([at, n]) => ({ clay: ids[at % ids.length], parts: n })),
          powders: powders.map((share, p) => ({ powder: `p${p}`, share })),
        });
        ids.push(`m${i}`);
      });
      return { blocks, mixes };
    });

/** The slow plain way to exact portions: every path from the mix down to a block, one by one. */
function everyPath(graph: MixGraph, id: string, part: Rational, into: Map<string, Rational>): void {
  const node = graph.mixes.get(id);
  if (node === undefined) {
    into.set(id, addRational(into.get(id) ?? rational(0n), part));
    return;
  }
  const counts = node.parts.map(({ parts }) => rationalFromNumber(parts));
  const total = counts.reduce(addRational);
  node.parts.forEach(({ clay }, i) => {
    const share = timesRational(counts[i], rational(total.den, total.num));
    everyPath(graph, clay, timesRational(part, share), into);
  });
}

/** The slow plain way by making it: grams of each thing in so many grams of a mix. */
function make(
  graph: MixGraph,
  id: string,
  grams: number,
  densityOf: (block: string) => number,
  into = new Map<string, number>(),
): Map<string, number> {
  const node = graph.mixes.get(id);
  if (node === undefined) return into.set(id, (into.get(id) ?? 0) + grams);
  let clayG = grams;
  for (const { powder, share } of node.powders ?? []) {
    into.set(powder, (into.get(powder) ?? 0) + grams * share);
    clayG -= grams * share;
  }
  const weights = node.parts.map(({ clay, parts }) => {
    if (node.basis === 'weight') return parts;
    let roomCm3 = 0;
    for (const [name, g] of make(graph, clay, 1, densityOf)) {
      if (graph.blocks.has(name)) roomCm3 += g / densityOf(name);
    }
    return parts / roomCm3;
  });
  const total = weights.reduce((sum, w) => sum + w, 0);
  node.parts.forEach(({ clay }, i) => {
    make(graph, clay, (clayG * weights[i]) / total, densityOf, into);
  });
  return into;
}

function portionsOf(
  graph: MixGraph,
  id: string,
  basis: MixNode['basis'],
  densityOf: (block: string) => number,
): Map<string, number> {
  const made = make(graph, id, 1, densityOf);
  const clay = [...made].filter(([name]) => graph.blocks.has(name));
  const amount = (name: string, grams: number) =>
    basis === 'volume' ? grams / densityOf(name) : grams;
  const total = clay.reduce((sum, [name, grams]) => sum + amount(name, grams), 0);
  for (const [name, grams] of clay) made.set(name, amount(name, grams) / total);
  return made;
}

describe('a mix of mixes', () => {
  const plain = graphOf(
    { kelp: {}, foam: {}, sand: {} },
    {
      sea: mix('volume', { kelp: 2, foam: 1 }),
      pool: mix('volume', { sea: 3, sand: 1 }),
      double: mix('volume', { pool: 1, sea: 1 }),
    },
  );

  it('comes down to whole parts of its blocks', () => {
    // 3 (2 Kelp + 1 Foam) + 1 Sand is 2 Kelp, 1 Foam, 1 Sand, by hand.
    const pool = resolvedOf(plain, 'pool');
    expect(pool.blocks.map((b) => b.id)).toEqual(['kelp', 'foam', 'sand']);
    expect(pool.whole).toEqual({ parts: [2n, 1n, 1n], total: 4n });
    expect(pool.blocks[0]).toEqual({
      id: 'kelp',
      share: 0.5,
      low: 0.5,
      high: 0.5,
      exact: { num: 1n, den: 2n },
    });
    expect(pool.says).toBe('');
    // Half of (1/2, 1/4, 1/4) and half of (2/3, 1/3): 7/12, 7/24, 1/8.
    expect(resolvedOf(plain, 'double').whole).toEqual({ parts: [14n, 7n, 3n], total: 24n });
  });

  it('is what every path down adds up to', () => {
    for (const basis of ['volume', 'weight'] as const) {
      fc.assert(
        fc.property(books([basis], 0, 5), (graph) => {
          const resolver = mixResolver(graph);
          for (const id of graph.mixes.keys()) {
            const found = resolver.resolve(id);
            if (found.status !== 'resolved') throw new Error(found.status);
            const paths = new Map<string, Rational>();
            everyPath(graph, id, rational(1n), paths);
            expect(new Map(found.blocks.map((b) => [b.id, b.exact]))).toEqual(paths);
            const { parts, total } = found.whole!;
            parts.forEach((n, i) => {
              expect(rational(n, total)).toEqual(found.blocks[i].exact);
            });
          }
        }),
        RUNS,
      );
    }
  });

  it('is what comes of making it, whatever bases and powders are in it', () => {
    fc.assert(
      fc.property(books(['volume', 'weight'], 2, 3), (graph) => {
        const resolver = mixResolver(graph);
        const densityOf = (block: string) => graph.blocks.get(block)!.density!.value;
        for (const id of graph.mixes.keys()) {
          for (const basis of ['volume', 'weight'] as const) {
            const found = resolver.resolve(id, basis);
            if (found.status !== 'resolved') throw new Error(found.status);
            const made = portionsOf(graph, id, basis, densityOf);
            for (const { id: name, share } of [...found.blocks, ...found.powders]) {
              expect(Math.abs(share - made.get(name)!)).toBeLessThan(ROUNDING);
            }
            expect(made.size).toBe(found.blocks.length + found.powders.length);
          }
        }
      }),
      RUNS,
    );
  });

  it('calls exact only what no density moves, and keeps to its bounds', () => {
    let [exact, spread, outside, drawn] = [0, 0, 0, 0];
    fc.assert(
      fc.property(
        books(['volume', 'weight'], 1, 3),
        fc.array(between(1.2, 1.9), { minLength: 3, maxLength: 3 }),
        (graph, other) => {
          const resolver = mixResolver(graph);
          const densityOf = (block: string) =>
            other[Number(graph.blocks.get(block)!.densityGroup!.slice(5))];
          for (const id of graph.mixes.keys()) {
            const found = resolver.resolve(id);
            if (found.status !== 'resolved') throw new Error(found.status);
            const made = portionsOf(graph, id, found.basis, densityOf);
            for (const { id: name, share, low, high, exact: fraction } of [
              ...found.blocks,
              ...found.powders,
            ]) {
              expect(low <= share && share <= high).toBe(true);
              const now = made.get(name)!;
              if (fraction !== undefined) {
                exact++;
                expect(numberFromRational(fraction)).toBe(share);
                expect(Math.abs(now - share)).toBeLessThan(ROUNDING);
              } else {
                spread++;
                drawn++;
                if (now < low - ROUNDING || now > high + ROUNDING) outside++;
              }
            }
          }
        },
      ),
      RUNS,
    );
    // Both kinds must have been met; several crossings on one way down may leave the bounds a little.
    expect(exact).toBeGreaterThan(1000);
    expect(spread).toBeGreaterThan(1000);
    expect(outside / drawn).toBeLessThan(0.01);
  });
});

describe('volume beside weight', () => {
  it('is r/(1+r) by weight for equal volumes', () => {
    // At density ratio r an equal-volume mix is r/(1+r) by weight: from the definition of density.
    // r = 1.25 gives 1.25/2.25 = 55.6 %.
    const graph = graphOf(
      { heavy: { density: exactly(1.75) }, light: { density: exactly(1.4) } },
      { half: mix('volume', { heavy: 1, light: 1 }) },
    );
    const { blocks, says, whole } = resolvedOf(graph, 'half', 'weight');
    expect(blocks[0].share).toBeCloseTo(1.25 / 2.25, 12);
    expect(blocks[0].share).toBeCloseTo(0.556, 3);
    expect(says).toMatch(/how dense/);
    expect(whole).toBeUndefined();
  });

  it('is uncertain by as much as the usual density is', () => {
    const graph = graphOf({ a: {}, b: {} }, { half: mix('volume', { a: 1, b: 1 }) });
    const { blocks, assumedDensity } = resolvedOf(graph, 'half', 'weight');
    const { low, high } = USUAL_DENSITY;
    expect(blocks[0].share).toBe(0.5);
    expect(blocks[0].low).toBeCloseTo(low / (low + high), 12);
    expect(blocks[0].high).toBeCloseTo(high / (low + high), 12);
    expect(assumedDensity).toEqual(['a', 'b']);
    expect(resolvedOf(graph, 'half').assumedDensity).toEqual([]);
  });

  it('is the same for blocks of one density group, even unmeasured', () => {
    const line = { densityGroup: 'Saltmarsh' };
    const graph = graphOf(
      { a: line, b: line, c: {} },
      {
        tint: mix('volume', { a: 1, b: 9 }),
        deep: mix('weight', { tint: 1, a: 1 }),
        odd: mix('weight', { tint: 1, c: 1 }),
      },
    );
    expect(resolvedOf(graph, 'deep').whole).toEqual({ parts: [11n, 9n], total: 20n });
    expect(resolvedOf(graph, 'deep', 'volume').whole?.total).toBe(20n);
    expect(resolvedOf(graph, 'odd').whole).toEqual({ parts: [1n, 9n, 10n], total: 20n });
    expect(resolvedOf(graph, 'odd', 'volume').whole).toBeUndefined();
  });
});

describe('powders', () => {
  it('are carried through by weight, and weighed with the clay', () => {
    const graph = graphOf(
      { a: {}, b: {} },
      {
        pearl: mix('weight', { a: 1 }, { mica: 0.05 }),
        pale: mix('weight', { pearl: 1, b: 1 }, { mica: 0.02 }),
      },
    );
    const { powders, blocks, whole } = resolvedOf(graph, 'pale');
    // 0.98 x half of 0.05, and 0.02 of its own: 0.0445. Clay: 0.95 to 1.
    expect(powders).toEqual([
      { id: 'mica', share: 0.0445, low: 0.0445, high: 0.0445, exact: { num: 89n, den: 2000n } },
    ]);
    expect(whole).toEqual({ parts: [19n, 20n], total: 39n });
    expect(blocks[0].exact).toEqual({ num: 19n, den: 39n });
  });
});

describe('what cannot be resolved', () => {
  it('names the circle', () => {
    const graph = graphOf(
      { a: {} },
      {
        one: mix('volume', { a: 1, two: 1 }),
        two: mix('volume', { three: 1 }),
        three: mix('volume', { two: 2, a: 1 }),
        self: mix('volume', { self: 1 }),
      },
    );
    const { resolve } = mixResolver(graph);
    expect(resolve('one')).toMatchObject({ status: 'circle', circle: ['two', 'three'] });
    expect(resolve('self')).toMatchObject({
      circle: ['self'],
      says: 'This mix is made of itself.',
    });
  });

  it('names every unknown clay at once', () => {
    const graph = graphOf(
      { a: {} },
      { one: mix('volume', { two: 1, x: 1 }), two: mix('weight', { a: 1, y: 1 }) },
    );
    const { resolve } = mixResolver(graph);
    expect(resolve('one')).toMatchObject({
      status: 'unknown-clay',
      unknown: [
        { mix: 'two', clay: 'y' },
        { mix: 'one', clay: 'x' },
      ],
    });
    expect(resolve('none')).toMatchObject({ unknown: [{ mix: 'none', clay: 'none' }] });
  });

  it('refuses counts and shares that are none', () => {
    for (const bad of [
      mix('volume', {}),
      mix('volume', { a: 0 }),
      mix('volume', { a: Number.NaN }),
      mix('volume', { a: Number.POSITIVE_INFINITY }),
      mix('volume', { a: 1 }, { mica: 1 }),
      mix('volume', { a: 1 }, { mica: 0.5, chalk: 0.5 }),
    ]) {
      expect(() => mixResolver(graphOf({ a: {} }, { bad })).resolve('bad')).toThrow(AppError);
    }
  });
});

describe('large books', () => {
  it('is exact through a nest of sixty, where 64-bit numbers are not', () => {
    const mixes: Record<string, MixNode> = { m0: mix('volume', { a: 1 }) };
    for (let i = 1; i <= 60; i++) mixes[`m${i}`] = mix('volume', { [`m${i - 1}`]: 1, b: 2 });
    const { whole, blocks } = resolvedOf(graphOf({ a: {}, b: {} }, mixes), 'm60');
    expect(whole?.total).toBe(3n ** 60n);
    expect(blocks[0].share).toBe(3 ** -60);
  });

  it('works each mix out once: a ladder of doubled clays has 2^200 paths', () => {
    const mixes: Record<string, MixNode> = {
      l0: mix('volume', { a: 1 }),
      r0: mix('volume', { b: 1 }),
    };
    for (let i = 1; i <= 200; i++) {
      mixes[`l${i}`] = mix('volume', { [`l${i - 1}`]: 1, [`r${i - 1}`]: 1 });
      mixes[`r${i}`] = mix('volume', { [`l${i - 1}`]: 1, [`r${i - 1}`]: 1 });
    }
    expect(resolvedOf(graphOf({ a: {}, b: {} }, mixes), 'l200').whole?.total).toBe(2n);
  });

  it('goes down a chain deeper than any call stack, and stops where numbers grow past all use', () => {
    const mixes: Record<string, MixNode> = { m0: mix('volume', { a: 1 }) };
    for (let i = 1; i <= 50_000; i++) mixes[`m${i}`] = mix('volume', { [`m${i - 1}`]: 1 });
    expect(resolvedOf(graphOf({ a: {} }, mixes), 'm50000').whole?.total).toBe(1n);
    for (let i = 1; i <= 50_000; i++) mixes[`m${i}`] = mix('volume', { [`m${i - 1}`]: 1, b: 1 });
    const deep = mixResolver(graphOf({ a: {}, b: {} }, mixes)).resolve('m50000');
    expect(deep).toMatchObject({ status: 'too-deep', mix: `m${RESOLVE_LIMITS.bits}` });
  });
});
