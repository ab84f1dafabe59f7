import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from '../../../test/conformance/uniform.ts';
import type { Lab } from '../colour/triples.ts';
import { CHART_VALUES } from './chart-values.ts';
import { residualAt, residualCommon, residualFrom } from './residual-field.ts';

const colours = CHART_VALUES['from 2014'];
const even = residualFrom(colours, new Float64Array(3 * colours.length).fill(1));
const labs = fc.tuple(between(5, 95), between(-70, 70), between(-70, 80)) as fc.Arbitrary<Lab>;

describe('residualFrom', () => {
  it('gives half of what a single colour left over, and nothing far from all', () => {
    const lonely = residualFrom([[50, 0, 0]], [2, 0, -4]);
    // Smooth and own part are equal in size: a single value is halved.
    residualAt(lonely, [50, 0, 0]).forEach((v, i) => {
      expect(v).toBeCloseTo([1, 0, -2][i], 9);
    });
    expect(Math.hypot(...residualAt(lonely, [50, 200, 0]))).toBeLessThan(1e-6);
  });

  it('never enlarges a residual that all patches agree on', () => {
    fc.assert(
      fc.property(labs, (lab) => {
        for (const value of residualAt(even, lab)) {
          expect(value).toBeGreaterThan(-0.2);
          expect(value).toBeLessThan(1.2);
        }
      }),
    );
  });

  it('leaves a share of 0 to 1 unknown, less close to patches, and no more between two than either has', () => {
    fc.assert(
      fc.property(labs, labs, (one, other) => {
        const [a, b] = [residualCommon(even, one, one), residualCommon(even, other, other)];
        expect(a).toBeGreaterThan(0);
        expect(a).toBeLessThanOrEqual(1 + 1e-12);
        expect(residualCommon(even, one, other) ** 2).toBeLessThanOrEqual(a * b + 1e-9);
      }),
    );
    expect(residualCommon(even, colours[0], colours[0])).toBeLessThan(
      residualCommon(even, [50, 120, 120], [50, 120, 120]),
    );
  });
});
