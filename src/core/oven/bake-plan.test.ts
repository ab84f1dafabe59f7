import { describe, expect, it } from 'vitest';
import { type BakeAsked, type BakePlan, planBake } from './bake-plan.ts';
import { ovenHabits } from './oven-check.ts';

const SALTMARSH = { name: 'Saltmarsh', lowC: 120, highC: 135, minutesPer6Mm: 20 };
const BRINDLE = { name: 'Brindle', lowC: 125, highC: 145, neverExceedC: 150, minutesPer6Mm: 30 };
const LANTERN = { name: 'Lantern', lowC: 140, highC: 150 };

function asked(more: Partial<BakeAsked> = {}): BakeAsked {
  return {
    lines: [SALTMARSH, BRINDLE],
    stages: [[{ body: 'slab', sizeMm: 8 }]],
    standsOn: 'tile',
    air: 'still',
    oven: { offsetC: 10, swingC: 4, warmUpMinutes: 15 },
    ...more,
  };
}

function plan(more: Partial<BakeAsked> = {}) {
  const made: BakePlan = planBake(asked(more));
  if (made.kind !== 'plan') throw new Error(`no plan: ${made.kind}`);
  return made;
}

describe('the plan of a bake', () => {
  it('takes the middle of the common window, and sets the dial by the oven', () => {
    const made = plan();
    expect(made.window).toEqual({ lowC: 125, highC: 135 });
    expect(made).toMatchObject({ meanC: 130, peakC: 134, dialC: 120, warmUpMinutes: 15 });
    expect(made.risks).toEqual([]);
  });

  it('adds the time at heat to the time until the slowest part is hot through', () => {
    const [stage] = plan().stages;
    expect(stage.atHeat).toBe(30);
    expect(stage.minutes.high).toBe(Math.ceil(stage.through.high + 30));
    expect(stage.minutes.low).toBeLessThan(stage.minutes.high);
    expect(plan().totalMinutes).toBe(stage.minutes.high);
    // The rule of the packet by thickness is never undercut: 48 mm of clay at 30 minutes for 6 mm.
    const thick = plan({ stages: [[{ body: 'cylinder', sizeMm: 48 }]], standsOn: 'free' });
    expect(thick.stages[0].minutes.low).toBeGreaterThanOrEqual((48 / 6) * 30);
    expect(thick.risks).toContain('thick');
  });

  it('the peak at the clay stays within every packet', () => {
    for (let swingC = 0; swingC <= 30; swingC += 3) {
      for (let offsetC = -30; offsetC <= 30; offsetC += 15) {
        const made = plan({ oven: { offsetC, swingC, warmUpMinutes: 10 } });
        expect(made.peakC).toBeLessThanOrEqual(135);
        expect(made.dialC! + offsetC + swingC).toBeLessThanOrEqual(135);
        expect(made.risks.includes('swing')).toBe(135 - swingC < 125);
      }
    }
  });

  it('a packet that names a never-exceed lets the swing go up to there, and no further', () => {
    const narrow = { name: 'Brindle', lowC: 125, highC: 130, neverExceedC: 140 };
    const swings = (swingC: number) =>
      plan({ lines: [narrow], oven: { offsetC: 0, swingC, warmUpMinutes: 10 } });
    expect(swings(10)).toMatchObject({ meanC: 127.5, peakC: 137.5, risks: [] });
    expect(swings(14)).toMatchObject({ meanC: 126, peakC: 140, risks: [] });
    expect(swings(20)).toMatchObject({ meanC: 120, peakC: 140, risks: ['swing'] });
    expect(plan({ lines: [narrow, SALTMARSH] }).peakC).toBeLessThanOrEqual(135);
  });

  it('gives no temperature where a packet says nothing', () => {
    const made = planBake(asked({ lines: [SALTMARSH, { name: 'Old clay', neverExceedC: 130 }] }));
    expect(made).toMatchObject({ kind: 'no temperature', silent: ['Old clay'] });
  });

  it('without overlap takes the lowest upper limit, longer, as a risk', () => {
    const made = plan({ lines: [SALTMARSH, LANTERN] });
    expect(made.window).toBeUndefined();
    expect(made.peakC).toBe(135);
    expect(made.risks).toContain('no overlap');
    expect(made.stages[0].atHeat).toBe(2 * 20);
  });

  it('warns above 150 at the clay, and refuses above 160', () => {
    expect(plan({ dialC: 137 }).risks).toContain('hot');
    expect(plan({ dialC: 136 }).risks).not.toContain('hot');
    expect(plan({ dialC: 136 }).risks).toContain('dial above a packet');
    expect(plan({ dialC: 110 }).risks).toContain('dial below a packet');
    expect(planBake(asked({ dialC: 147 }))).toMatchObject({ kind: 'too hot', peakC: 161 });
    const hot = asked({ lines: [{ name: 'Kiln', lowC: 165, highC: 180 }] });
    expect(planBake(hot).kind).toBe('too hot');
  });

  it('aims an oven that was never measured at the middle of the window, without a dial', () => {
    const { oven: _, ...rest } = asked();
    const risks = ['oven not measured'];
    const made = planBake(rest);
    expect(made).toMatchObject({ kind: 'plan', meanC: 130, peakC: 135, risks });
    expect(made).not.toHaveProperty('dialC');
    expect(made).not.toHaveProperty('swingC');
    // A narrow window is aimed at as well: nothing below the lowest temperature of a packet is advised.
    const narrow = planBake({ ...rest, lines: [{ name: 'Brindle', lowC: 125, highC: 130 }] });
    expect(narrow).toMatchObject({ meanC: 127.5, peakC: 130, risks });
    const apart = planBake({ ...rest, lines: [SALTMARSH, LANTERN] });
    expect(apart).toMatchObject({ meanC: 130, peakC: 135, risks: ['no overlap', ...risks] });
    const judged = planBake({ ...rest, dialC: 130 });
    expect(judged).toMatchObject({ peakC: 145, risks: ['dial above a packet', ...risks] });
  });

  it('adds up the bakes of a figure built in stages', () => {
    const made = plan({
      stages: [
        [{ body: 'sphere', sizeMm: 50, core: { of: 'foil', sizeMm: 38 } }],
        [{ body: 'slab', sizeMm: 3 }],
      ],
    });
    expect(made.stages).toHaveLength(2);
    expect(made.totalMinutes).toBe(made.stages[0].minutes.high + made.stages[1].minutes.high);
    expect(made.risks).not.toContain('thick');
  });

  it('refuses what cannot be planned, in words', () => {
    expect(() => planBake(asked({ lines: [] }))).toThrow('No line is named.');
    expect(() => planBake(asked({ stages: [] }))).toThrow('No part is given.');
    const falling = { name: 'Saltmarsh', lowC: 140, highC: 120 };
    expect(() => planBake(asked({ lines: [falling] }))).toThrow('do not rise');
  });
});

describe('an oven beside its dial', () => {
  const run = (setTempC: number, temps: readonly number[], day?: number) => ({
    setTempC,
    readings: temps.map((tempC, i) => ({ minute: 5 * i, tempC })),
    ...(day === undefined ? {} : { day }),
  });

  it('gives offset, swing and warm-up', () => {
    const habits = ovenHabits([run(130, [20, 80, 120, 138, 142, 146, 142, 138, 142, 146, 142])]);
    expect(habits.warmUpMinutes).toBe(15);
    expect(habits.swingC).toBe(4);
    expect(habits.offsetC).toBeCloseTo(12, 0);
    expect(habits).not.toHaveProperty('driftCPerYear');
  });

  it('sees an oven drift over the months', () => {
    const flat = (tempC: number) => [20, tempC, tempC, tempC, tempC];
    const habits = ovenHabits([run(130, flat(132), 0), run(130, flat(138), 365.25)]);
    expect(habits.driftCPerYear).toBeCloseTo(6, 9);
    expect(habits.offsetC).toBeCloseTo(5, 9);
    expect(habits.apartC).toBeCloseTo(3, 9);
  });

  it('refuses readings out of order, in words', () => {
    expect(() => ovenHabits([])).toThrow('no run of the oven');
    expect(() => ovenHabits([run(130, [20])])).toThrow('two readings');
    const readings = [
      { minute: 5, tempC: 20 },
      { minute: 5, tempC: 30 },
    ];
    expect(() => ovenHabits([{ setTempC: 130, readings }])).toThrow('out of order');
  });
});
