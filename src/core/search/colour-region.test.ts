import { describe, expect, it } from 'vitest';
import { deltaE2000At } from '../colour/difference.ts';
import type { LabBox } from '../colour/difference-bound.ts';
import { labFromLch, xyzFromLab } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import { directionFrom, directionsAt, regionSupports } from './colour-region.ts';

const { white } = colourWeights('D50', 2);
const NO_SHIFT: LabBox = [0, 0, 0, 0, 0, 0];

describe('regionSupports', () => {
  it.each([
    ['plain', NO_SHIFT, [1, 1, 1]],
    ['with the departure of special clays', [-3, 4, -2, 6, -5, 1], [1, 1, 1]],
    ['with hue counting for half', NO_SHIFT, [1, 1, 2]],
  ] as const)('hold every colour within the radius, %s', (_, shift, factors) => {
    const random = seededChance(14);
    let inside = 0;
    let outOf = 0;
    for (let round = 0; round < 60; round++) {
      const aim: Lab = labFromLch([
        5 + 90 * random.uniform(),
        90 * random.uniform() ** 2,
        round % 3 === 0 ? 250 + 50 * random.uniform() : 360 * random.uniform(),
      ]);
      const radius = 0.1 * 200 ** random.uniform();
      const directions = [
        ...directionsAt(aim, white),
        directionFrom(aim, [aim[0] + 3, aim[1] - 9, aim[2] + 5], white),
      ];
      const { least, most } = regionSupports(aim, white, directions, radius, shift, factors);
      for (let n = 0; n < 400; n++) {
        // The colour as seen, and the body colour to which some of the shift was added.
        const seen = aim.map((v) => v + 2 * radius * random.normal()) as unknown as Lab;
        const [l, a, b] = seen.map(
          (v, k) => v - (shift[2 * k] + random.uniform() * (shift[2 * k + 1] - shift[2 * k])),
        );
        if (deltaE2000At(...aim, ...seen, ...factors) > radius || l < 0 || l > 100) continue;
        inside++;
        const xyz = xyzFromLab([l, a, b], white);
        directions.forEach((direction, d) => {
          const at = direction.reduce((sum, c, k) => sum + c * xyz[k], 0);
          const room = 1e-9 * (1 + Math.abs(at));
          if (at < least[d] - room || at > most[d] + room) outOf++;
        });
      }
    }
    expect(inside).toBeGreaterThan(2000);
    expect(outOf).toBe(0);
  });

  it('are not much wider than the region', () => {
    const aim: Lab = [60, 10, 20];
    const [lightness] = directionsAt(aim, white);
    const { least, most } = regionSupports(aim, white, [lightness], 1);
    // One unit of the direction is about one of L*, and S_L is 1.14 at L* 60.
    expect(most[0] - least[0]).toBeLessThan(2 * 1.14 * 1.5);
  });
});
