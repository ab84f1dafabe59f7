import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from '../../../test/conformance/uniform.ts';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { localMetric } from './local-metric.ts';

const step = (metric: Float64Array, d: readonly number[]) =>
  Math.hypot(
    ...[0, 1, 2].map(
      (r) => metric[3 * r] * d[0] + metric[3 * r + 1] * d[1] + metric[3 * r + 2] * d[2],
    ),
  );

describe('localMetric', () => {
  it('measures small steps as CIEDE2000 does, except for blues', () => {
    fc.assert(
      fc.property(
        between(10, 95),
        between(8, 60),
        between(-40, 200),
        between(-1, 1),
        between(-1, 1),
        between(-1, 1),
        (l, c, hueDeg, dl, da, db) => {
          fc.pre(Math.hypot(dl, da, db) > 0.2);
          const hue = (hueDeg * Math.PI) / 180;
          const lab: Lab = [l, c * Math.cos(hue), c * Math.sin(hue)];
          const other: Lab = [lab[0] + dl, lab[1] + da, lab[2] + db];
          const exact = deltaE2000(lab, other);
          // Weights are taken at one end and not at the mean, and the stretch is not turned: a fifth.
          expect(step(localMetric(lab), [dl, da, db]) / exact).toBeGreaterThan(0.8);
          expect(step(localMetric(lab), [dl, da, db]) / exact).toBeLessThan(1.25);
        },
      ),
    );
  });
});
