import { describe, expect, it } from 'vitest';
import type { Lab } from '../colour/triples.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import { likelyColours } from './likely-colours.ts';

const lab: Lab = [52, 24, -31];

/** L L' of a lower triangle, and its rows to solve by. */
function covarianceOf(l: readonly number[]): number[] {
  const [a, b, c, d, e, f] = l;
  return [
    a * a,
    a * b,
    a * d,
    a * b,
    b * b + c * c,
    b * d + c * e,
    a * d,
    b * d + c * e,
    d * d + e * e + f * f,
  ];
}

/** Length of a step in standard deviations, by forward substitution with the triangle. */
function deviations(l: readonly number[], step: readonly number[]): number {
  const [a, b, c, d, e, f] = l;
  const y0 = step[0] / a;
  const y1 = (step[1] - b * y0) / c;
  const y2 = (step[2] - d * y0 - e * y1) / f;
  return Math.hypot(y0, y1, y2);
}

describe('likelyColours', () => {
  it('lies 1.645 deviations away along every side, and nothing within that lies farther', () => {
    const random = seededChance(11);
    for (let round = 0; round < 40; round++) {
      const l = Array.from({ length: 6 }, () => 0.2 + 2 * random.uniform());
      const six = likelyColours(lab, covarianceOf(l));
      const hue = Math.atan2(lab[2], lab[1]);
      const ways: Record<string, readonly number[]> = {
        lighter: [1, 0, 0],
        darker: [-1, 0, 0],
        brighter: [0, Math.cos(hue), Math.sin(hue)],
        duller: [0, -Math.cos(hue), -Math.sin(hue)],
        onward: [0, -Math.sin(hue), Math.cos(hue)],
        backward: [0, Math.sin(hue), -Math.cos(hue)],
      };
      for (const { side, lab: end } of six) {
        const step = end.map((v, i) => v - lab[i]);
        expect(deviations(l, step)).toBeCloseTo(1.645, 9);
        const far = step.reduce((sum, v, i) => sum + v * ways[side][i], 0);
        for (let tries = 0; tries < 50; tries++) {
          const other = [0, 1, 2].map(() => random.uniform() - 0.5);
          const scale = 1.645 / deviations(l, other);
          const reach = other.reduce((sum, v, i) => sum + v * scale * ways[side][i], 0);
          expect(reach).toBeLessThanOrEqual(far + 1e-9);
        }
      }
    }
  });

  it('leaves 1 colour in 20 beyond each side', () => {
    const random = seededChance(5);
    const l = [1.2, 0.4, 0.9, -0.3, 0.5, 1.1];
    const end = likelyColours(lab, covarianceOf(l)).find(({ side }) => side === 'lighter')!.lab;
    let beyond = 0;
    for (let i = 0; i < 20_000; i++) if (l[0] * random.normal() > end[0] - lab[0]) beyond++;
    // Three deviations of a count of 20,000 draws at 1 in 20 are 92.
    expect(Math.abs(beyond - 1000)).toBeLessThan(93);
  });

  it('says the six sides in words', () => {
    const words = likelyColours(lab, [1, 0, 0, 0, 1, 0, 0, 0, 1]).map(({ word }) => word);
    expect(words).toEqual(['darker', 'lighter', 'duller', 'brighter', 'greener', 'redder']);
  });

  it('gives the colour itself where nothing is unsure', () => {
    for (const one of likelyColours(lab, new Float64Array(9))) expect(one.lab).toEqual(lab);
  });

  it('refuses what is no number', () => {
    expect(() => likelyColours(lab, new Float64Array(9).fill(Number.NaN))).toThrow();
  });
});
