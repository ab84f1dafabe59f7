import { expect, it } from 'vitest';
import { inverse, times } from '../colour/matrix.ts';
import { xyzFromLab } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import type { Seen } from './camera-model.ts';
import { CHART_VALUES } from './chart-values.ts';
import { blackStep, correctedLab, correctionFrom } from './correction.ts';
import { correctionCovariance } from './correction-covariance.ts';
import { SRGB_TO_XYZ_D50, srgbEncoded } from './encoding.ts';

const white = colourWeights('D50', 2).white;
const back = inverse([0, 3, 6].map((at) => SRGB_TO_XYZ_D50.slice(at, at + 3)));

/** As a camera writes a colour that raises contrast by an S curve, which bends most in the dark. */
function seen(lab: Lab): Seen {
  const linear = times(back, xyzFromLab(lab, white));
  const [r, g, b] = linear.map((v) => {
    const e = srgbEncoded(0.8 * Math.max(0, v));
    const up = e ** 1.35;
    return up / (up + (1 - e) ** 1.35);
  });
  return { code: [r, g, b], light: [1, 1, 1], u: 0, v: 0 };
}

it('a tile much darker than the patches is as unsure as it is wrong', () => {
  const correction = correctionFrom(
    CHART_VALUES['before 2014'].map((lab) => ({ ...seen(lab), lab })),
    0.01,
  );
  const truth: Lab = [3, 1, -2];
  const one = seen(truth);
  const miss = Math.abs(correctedLab(correction, one)[0] - truth[0]);
  const own = Math.sqrt(correctionCovariance(correction, [one])[0]);
  expect(miss).toBeGreaterThan(2 * own);
  const step = Math.abs(blackStep(correction, one)[0]);
  expect(miss).toBeLessThan(2 * Math.hypot(own, step));
  const pale = blackStep(correction, seen([70, 5, 5]));
  expect(Math.abs(pale[0])).toBeLessThan(step / 5);
});
