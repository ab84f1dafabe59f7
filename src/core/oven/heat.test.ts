import { describe, expect, it } from 'vitest';
import { finiteVolumes } from '../../../test/oracles/finite-volumes.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import { middleAfter, minutesThrough, throughRange, USUAL_HEAT } from './clay-heat.ts';
import { type HeatLayer, heatModes, restOfModes } from './heat-layers.ts';
import { type Body, restAtMiddle, seriesTerms } from './heat-series.ts';

const BODIES: readonly Body[] = ['slab', 'cylinder', 'sphere'];
/** From 20 to 130 degrees. */
const RISE = 110;

describe('heat through clay of one kind', () => {
  it('has the first terms of the published tables', () => {
    const table = {
      0.1: [0.3111, 1.0161, 0.4417, 1.0246, 0.5423, 1.0298],
      1: [0.8603, 1.1191, 1.2558, 1.2071, 1.5708, 1.2732],
      10: [1.4289, 1.262, 2.1795, 1.5677, 2.8363, 1.9249],
    };
    for (const [biot, row] of Object.entries(table)) {
      const found = BODIES.flatMap((body) => {
        const [{ zeta, factor }] = seriesTerms(body, Number(biot));
        return [zeta, factor];
      });
      for (const [i, value] of row.entries()) {
        expect(Math.abs(found[i] - value), `${biot}, ${i}`).toBeLessThan(0.0002);
      }
    }
  });

  it('is within 0.01 K of finite volumes in 1,000 cases', () => {
    const { uniform } = seededChance(20);
    let worst = 0;
    for (let i = 0; i < 1000; i++) {
      const body = BODIES[i % 3];
      const biot = 10 ** (-1.5 + 3 * uniform());
      const fourier = 10 ** (Math.log10(0.02) + 2 * uniform());
      // Of size, conductivity and heat 1, so that Biot and Fourier are transfer and time.
      const layer: HeatLayer = { thicknessM: 1, conductivityWPerMK: 1, heatJPerM3K: 1 };
      const slow = finiteVolumes(body, [layer], biot, fourier, { cells: 80, steps: 100 });
      const fine = finiteVolumes(body, [layer], biot, fourier, { cells: 160, steps: 200 });
      // Both errors fall with the square of the step, so two grids give the limit.
      const limit = (4 * fine - slow) / 3;
      worst = Math.max(
        worst,
        RISE * Math.abs(limit - restAtMiddle(seriesTerms(body, biot), fourier)),
      );
    }
    expect(worst).toBeLessThan(0.01);
  });

  it('gives the check values of sheets, rods and balls', () => {
    const free = (body: Body, sizeMm: number) => minutesThrough({ body, sizeMm }, USUAL_HEAT);
    expect(Math.abs(free('slab', 6) - 21.6)).toBeLessThan(0.3);
    const rows = [
      free('slab', 3),
      free('slab', 6),
      free('slab', 12),
      free('cylinder', 10),
      free('sphere', 25),
      free('sphere', 40),
    ];
    expect(rows.map(Math.round)).toEqual([10, 22, 47, 19, 37, 68]);
    expect(Math.round(minutesThrough({ body: 'slab', sizeMm: 6 }, USUAL_HEAT, 1))).toBe(47);
    const middle = middleAfter({ body: 'sphere', sizeMm: 25 }, USUAL_HEAT, {
      fromC: 20,
      ovenC: 130,
      minutes: 30,
    });
    expect(Math.abs(middle - 120)).toBeLessThan(1);
  });
});

describe('heat through a skin over a core', () => {
  it('is within 0.05 K of a finer independent scheme', () => {
    const { uniform } = seededChance(7);
    let worst = 0;
    for (let i = 0; i < 60; i++) {
      const body = BODIES[i % 3];
      const skinM = 0.002 + 0.008 * uniform();
      const coreM = 0.004 + 0.026 * uniform();
      const layers: HeatLayer[] = [
        {
          thicknessM: coreM,
          conductivityWPerMK: 10 ** (-1 + 2 * uniform()),
          heatJPerM3K: 4e5 + 2e6 * uniform(),
        },
        { thicknessM: skinM, conductivityWPerMK: 0.15 + 0.1 * uniform(), heatJPerM3K: 1.9e6 },
      ];
      const transfer = 12 + 23 * uniform();
      const seconds = 300 + 5400 * uniform();
      const modes = heatModes(body, layers, transfer);
      const fine = finiteVolumes(body, layers, transfer, seconds, { cells: 200, steps: 500 });
      worst = Math.max(worst, RISE * Math.abs(restOfModes(modes, seconds) - fine));
    }
    expect(worst).toBeLessThan(0.05);
  });

  it('a core of the same clay warms as solid clay does, seen at the middle of a thin core', () => {
    const solid = minutesThrough({ body: 'sphere', sizeMm: 40 }, USUAL_HEAT);
    const cored = minutesThrough(
      { body: 'sphere', sizeMm: 40, core: { of: 'clay', sizeMm: 2 } },
      USUAL_HEAT,
    );
    expect(cored / solid).toBeCloseTo(1, 1);
    expect(cored).toBeLessThan(solid);
  });
});

describe('minutes as a range', () => {
  it('a worse support never takes less time, and twice the thickness more than twice', () => {
    const high = (on: 'free' | 'paper' | 'tile' | 'foam', sizeMm = 6) =>
      throughRange({ body: 'slab', sizeMm }, on, 'still').high;
    expect(high('free')).toBeLessThan(high('paper'));
    expect(high('paper')).toBeLessThan(high('tile'));
    expect(high('tile')).toBeLessThanOrEqual(high('foam'));
    expect(high('free', 12)).toBeGreaterThan(2 * high('free', 6));
    const { low } = throughRange({ body: 'slab', sizeMm: 6 }, 'free', 'fan');
    expect(low).toBeLessThan(high('free'));
  });

  it('refuses sizes in plain words', () => {
    expect(() => minutesThrough({ body: 'slab', sizeMm: 0 }, USUAL_HEAT)).toThrow(
      'cannot be planned',
    );
    expect(() =>
      minutesThrough({ body: 'sphere', sizeMm: 20, core: { of: 'foil', sizeMm: 20 } }, USUAL_HEAT),
    ).toThrow('does not fit');
  });
});
