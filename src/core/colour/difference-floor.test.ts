import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from '../../../test/conformance/uniform.ts';
import { deltaE2000 } from './difference.ts';
import { differenceFloor, hueSpan } from './difference-floor.ts';
import type { Lab } from './triples.ts';

/** Rounding of either side, squared CIEDE2000. */
const ROUNDING = 1e-9;
const RUNS = { numRuns: 20_000, seed: 20 };

const fromPolar = (l: number, c: number, h: number): Lab => [
  l,
  c * Math.cos((h * Math.PI) / 180),
  c * Math.sin((h * Math.PI) / 180),
];
/** Anywhere, and often where the formula is hardest: blue, near grey, on the axes. */
const anyLab: fc.Arbitrary<Lab> = fc.oneof(
  fc.tuple(between(0, 100), between(-130, 130), between(-130, 130)),
  fc.tuple(between(0, 100), between(0, 140), between(215, 335)).map((p) => fromPolar(...p)),
  fc.tuple(between(0, 100), between(-3, 3), between(-3, 3)),
  fc.tuple(between(0, 100), fc.constantFrom(0, 20, -20), fc.constantFrom(0, 25, -25)),
);
/** A second colour anywhere, nearby, or on the other side of the grey axis. */
const anyPair = fc
  .tuple(anyLab, anyLab, fc.integer({ min: 0, max: 2 }), between(0.5, 2))
  .map(([one, other, how, factor]): [Lab, Lab] => {
    if (how === 0) return [one, other];
    if (how === 1) return [one, [one[0], one[1] + other[1] / 50, one[2] + other[2] / 50]];
    return [one, [other[0], -factor * one[1], -factor * one[2]]];
  });
const degrees = ([, a, b]: Lab) => (Math.atan2(b, a) * 180) / Math.PI;

describe('floors under CIEDE2000', () => {
  it('are never above the difference of two colours, either way round', () => {
    fc.assert(
      fc.property(anyPair, ([one, other]) => {
        const square = deltaE2000(one, other) ** 2;
        for (const [from, to] of [
          [one, other],
          [other, one],
        ]) {
          const floor = differenceFloor(from).ofColour(...to, degrees(to));
          expect(floor).toBeLessThanOrEqual(square * (1 + ROUNDING) + ROUNDING);
        }
      }),
      RUNS,
    );
  });

  it('are never above the difference to any colour of a box', () => {
    const size = fc.oneof(between(0, 8), between(0, 60));
    fc.assert(
      fc.property(
        anyPair,
        fc.tuple(size, size, size),
        fc.tuple(between(0, 1), between(0, 1), between(0, 1)),
        ([aim, [l, a, b]], [sizeL, sizeA, sizeB], [atL, atA, atB]) => {
          const edges = {
            fromL: l - atL * sizeL,
            toL: l + (1 - atL) * sizeL,
            fromA: a - atA * sizeA,
            toA: a + (1 - atA) * sizeA,
            fromB: b - atB * sizeB,
            toB: b + (1 - atB) * sizeB,
          };
          const floor = differenceFloor(aim).ofBox({ ...edges, ...hueSpan(edges) });
          const square = deltaE2000(aim, [l, a, b]) ** 2;
          expect(floor).toBeLessThanOrEqual(square * (1 + ROUNDING) + ROUNDING);
        },
      ),
      RUNS,
    );
  });

  it('are close enough to be useful: away from blue 0.4 of the difference and more', () => {
    fc.assert(
      fc.property(
        between(20, 90),
        between(5, 90),
        between(0, 180),
        fc.tuple(between(-8, 8), between(-8, 8), between(-8, 8)),
        (l, c, h, [dL, dA, dB]) => {
          const aim = fromPolar(l, c, h);
          const other: Lab = [aim[0] + dL, aim[1] + dA, aim[2] + dB];
          const floor = Math.sqrt(differenceFloor(aim).ofColour(...other, degrees(other)));
          expect(floor).toBeGreaterThanOrEqual(0.4 * deltaE2000(aim, other));
        },
      ),
      RUNS,
    );
  });
});

describe('the span of hues of a box', () => {
  it('holds the hue of every colour in it', () => {
    const edge = between(-60, 60);
    fc.assert(
      fc.property(
        edge,
        edge,
        between(0, 40),
        between(0, 40),
        between(0, 1),
        between(0, 1),
        (...v) => {
          const [fromA, fromB, sizeA, sizeB, atA, atB] = v;
          const edges = { fromA, toA: fromA + sizeA, fromB, toB: fromB + sizeB };
          const { hueMid, hueHalf } = hueSpan(edges);
          const apart = Math.abs(degrees([0, fromA + atA * sizeA, fromB + atB * sizeB]) - hueMid);
          expect(Math.min(apart, 360 - apart)).toBeLessThanOrEqual(hueHalf + 1e-9);
        },
      ),
      RUNS,
    );
  });
});
