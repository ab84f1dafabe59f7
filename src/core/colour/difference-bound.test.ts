import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { deltaE2000At } from './difference.ts';
import { deltaE2000Below, type LabBox } from './difference-bound.ts';

const SEED = 2000;

/** Colours of all kinds, the blues where R_T bites and the near greys among them. */
function drawnColour(random: ReturnType<typeof randomFrom>): [number, number, number] {
  const kind = random.uniform();
  const chroma = kind < 0.2 ? 3 * random.uniform() : 110 * random.uniform();
  const hue = kind > 0.6 ? 275 + 60 * (random.uniform() - 0.5) : 360 * random.uniform();
  const radians = (hue * Math.PI) / 180;
  return [100 * random.uniform(), chroma * Math.cos(radians), chroma * Math.sin(radians)];
}

describe('deltaE2000Below', () => {
  it('is never above the distance of a colour of the box', () => {
    const random = randomFrom(SEED);
    let worst = 0;
    for (let round = 0; round < 40_000; round++) {
      const [l1, a1, b1] = drawnColour(random);
      const centre = random.uniform() < 0.5 ? [l1, a1, b1] : drawnColour(random);
      const size = 60 * random.uniform() ** 3;
      const box = centre.flatMap((v) => {
        const at = v + 30 * size * 0.02 * random.normal();
        return [at - size * random.uniform(), at + size * random.uniform()];
      }) as unknown as LabBox;
      const pick = () => (random.uniform() < 0.5 ? 1 : 0.5 + 2.5 * random.uniform());
      const factors = [pick(), pick(), pick()] as const;
      const below = deltaE2000Below(l1, a1, b1, box, factors);
      for (let i = 0; i < 8; i++) {
        // Corners and faces as often as the inside.
        const [l, a, b] = [0, 2, 4].map((k) => {
          const u = random.uniform();
          const at = u < 0.3 ? 0 : u > 0.7 ? 1 : random.uniform();
          return box[k] + at * (box[k + 1] - box[k]);
        });
        worst = Math.max(worst, below - deltaE2000At(l1, a1, b1, l, a, b, ...factors));
      }
    }
    expect(worst).toBeLessThanOrEqual(1e-9);
  });

  it('approaches the distance itself as the box shrinks to a point', () => {
    const random = randomFrom(SEED + 1);
    const ratios: number[] = [];
    for (let round = 0; round < 2000; round++) {
      const [l1, a1, b1] = drawnColour(random);
      const [l, a, b] = [l1, a1, b1].map((v) => v + 4 * random.normal());
      const e = 1e-6;
      const below = deltaE2000Below(l1, a1, b1, [l - e, l + e, a - e, a + e, b - e, b + e]);
      ratios.push(below / deltaE2000At(l1, a1, b1, l, a, b));
    }
    ratios.sort((x, y) => x - y);
    expect(ratios[Math.floor(ratios.length / 20)]).toBeGreaterThan(0.98);
  });

  it('is 0 for a box around the colour', () => {
    expect(deltaE2000Below(50, 20, -40, [40, 60, 10, 30, -50, -30])).toBe(0);
  });
});
