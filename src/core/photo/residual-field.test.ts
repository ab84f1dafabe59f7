import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from '../../../test/conformance/uniform.ts';
import type { Lab } from '../colour/triples.ts';
import { CHART_VALUES } from './chart-values.ts';
import { leftoverAt, leftoverCommon, leftoverFrom } from './residual-field.ts';

const colours = CHART_VALUES['from 2014'];
const even = leftoverFrom(colours, new Float64Array(3 * colours.length).fill(1));
const labs = fc.tuple(between(5, 95), between(-70, 70), between(-70, 80)) as fc.Arbitrary<Lab>;

describe('leftoverFrom', () => {
  it('believes half of what a lonely colour left over, and nothing far from all', () => {
    const lonely = leftoverFrom([[50, 0, 0]], [2, 0, -4]);
    // Smooth and own part are alike in size: a single value is halved.
    leftoverAt(lonely, [50, 0, 0]).forEach((v, i) => {
      expect(v).toBeCloseTo([1, 0, -2][i], 9);
    });
    expect(Math.hypot(...leftoverAt(lonely, [50, 200, 0]))).toBeLessThan(1e-6);
  });

  it('never makes more of what all patches agree on', () => {
    fc.assert(
      fc.property(labs, (lab) => {
        for (const value of leftoverAt(even, lab)) {
          expect(value).toBeGreaterThan(-0.2);
          expect(value).toBeLessThan(1.2);
        }
      }),
    );
  });

  it('leaves a share of 0 to 1 unknown, less near patches, and no more between two than either has', () => {
    fc.assert(
      fc.property(labs, labs, (one, other) => {
        const [a, b] = [leftoverCommon(even, one, one), leftoverCommon(even, other, other)];
        expect(a).toBeGreaterThan(0);
        expect(a).toBeLessThanOrEqual(1 + 1e-12);
        expect(leftoverCommon(even, one, other) ** 2).toBeLessThanOrEqual(a * b + 1e-9);
      }),
    );
    expect(leftoverCommon(even, colours[0], colours[0])).toBeLessThan(
      leftoverCommon(even, [50, 120, 120], [50, 120, 120]),
    );
  });
});
