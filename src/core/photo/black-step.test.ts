import { expect, it } from 'vitest';
import { deltaE2000 } from '../colour/difference.ts';
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

const correction = correctionFrom(
  CHART_VALUES['before 2014'].map((lab) => ({ ...seen(lab), lab })),
  0.01,
);

it.each([[[3, 1, -2]], [[10, 6, -8]], [[15, -10, 5]]] as const)(
  'a tile much darker than the patches is read, and is as unsure as it is wrong: %j',
  (truth) => {
    const one = seen(truth);
    const got = correctedLab(correction, one);
    expect(deltaE2000(got, truth)).toBeLessThan(3);
    const own = Math.sqrt(correctionCovariance(correction, [one])[0]);
    const step = Math.abs(blackStep(correction, one)[0]);
    expect(Math.abs(got[0] - truth[0])).toBeLessThan(2 * Math.hypot(own, step));
  },
);

it('a pale tile does not depend on the black level', () => {
  const [pale, dark] = (
    [
      [70, 5, 5],
      [10, 6, -8],
    ] as const
  ).map((lab) => Math.abs(blackStep(correction, seen(lab))[0]));
  expect(pale).toBeLessThan(dark / 4);
});
