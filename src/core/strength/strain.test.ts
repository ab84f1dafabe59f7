import { describe, expect, it } from 'vitest';
import { AppError } from '../errors.ts';
import { readSpecimen, type Specimen, specimenInWords } from './specimen.ts';
import { strainOf } from './strain.ts';

const strip = (t: number, lengthMm: number): Specimen => ({
  form: 'strip',
  thicknessMm: t,
  widthMm: 10,
  lengthMm,
});

/**
 * Bends half a strip of length 1 from its middle by small straight steps: where it ends, and how it
 * points. `curve` is the curvature in the middle, `force` the pull between the ends.
 */
function bentHalf(curve: number, force: number, steps = 4000) {
  const h = 0.5 / steps;
  let [x, turn, bend] = [0, 0, curve];
  for (let i = 0; i < steps; i++) {
    const middle = turn + (h / 2) * bend;
    const bendMiddle = bend - (h / 2) * force * Math.sin(turn);
    x += h * Math.cos(middle);
    turn += h * bendMiddle;
    bend -= h * force * Math.sin(middle);
  }
  return { x, turn, bend };
}

/** Two unknowns so that two misses are zero, by Newton steps with differences. */
function solved(miss: (a: number, b: number) => readonly [number, number], a0: number, b0: number) {
  let [a, b] = [a0, b0];
  for (let i = 0; i < 40; i++) {
    const [m, n] = miss(a, b);
    const e = 1e-5;
    const [ma, na] = miss(a + e, b).map((v, k) => (v - [m, n][k]) / e);
    const [mb, nb] = miss(a, b + e).map((v, k) => (v - [m, n][k]) / e);
    const d = ma * nb - mb * na;
    a -= (m * nb - n * mb) / d;
    b -= (n * ma - m * na) / d;
  }
  return [a, b] as const;
}

describe('strain of a bent strip', () => {
  it('bends by its free ends as the elastica does', () => {
    const [curve] = solved(
      (c, f) => {
        const { x, bend } = bentHalf(c, f);
        return [x, bend];
      },
      8.4,
      21,
    );
    expect(curve / 2).toBeCloseTo(4.219, 3);
    expect(strainOf(strip(1, 1000), 'ends together').strain * 1000).toBeCloseTo(curve / 2, 3);
  });

  it('bends by ends pressed flat as the elastica does', () => {
    const [curve] = solved(
      (c, f) => {
        const { x, turn } = bentHalf(c, f);
        return [x, turn - Math.PI / 2];
      },
      10.8,
      40,
    );
    expect(curve / 2).toBeCloseTo(5.384, 3);
    expect(strainOf(strip(1, 1000), 'pressed flat').strain * 1000).toBeCloseTo(curve / 2, 3);
  });

  it('a push of a third of the length is at most 6 % more than the formula says', () => {
    // A cantilever with its force across: by symmetry of the problem, integrated from the root.
    const tipOf = (force: number) => {
      const steps = 4000;
      const h = 1 / steps;
      // Shooting: the moment at the root is the force times the reach of the bent shape.
      let reach = 1;
      for (let round = 0; round < 60; round++) {
        let [x, y, turn] = [0, 0, 0];
        for (let i = 0; i < steps; i++) {
          const middle = turn + (h / 2) * force * (reach - x);
          x += h * Math.cos(middle);
          y += h * Math.sin(middle);
          turn += h * force * (reach - x + (h / 2) * Math.cos(middle));
        }
        if (Math.abs(x - reach) < 1e-12) return { y, root: force * reach };
        reach = (reach + x) / 2;
      }
      throw new Error('the shape was not found');
    };
    let [low, high] = [0.5, 2];
    for (let i = 0; i < 50; i++) {
      const force = (low + high) / 2;
      if (tipOf(force).y < 1 / 3) low = force;
      else high = force;
    }
    const { y, root } = tipOf(low);
    // Thickness 1 on length 1: strain is half the curvature.
    const formula = 1.5 * y;
    expect(y).toBeCloseTo(1 / 3, 6);
    expect(root / 2 / formula).toBeGreaterThan(1);
    expect(root / 2 / formula).toBeLessThan(1.06);
  });

  it('gives the check values of rings, ends, mandrels and twists', () => {
    const t = strip(1.5, 60);
    expect(strainOf(t, 'held as a ring').strain).toBeCloseTo(0.0785, 3);
    expect(Math.abs(strainOf(t, 'ends together').strain - 0.1055)).toBeLessThan(0.001);
    expect(Math.abs(strainOf(t, 'pressed flat').strain - 0.1346)).toBeLessThan(0.001);
    expect(strainOf(t, 'around a rod', 6).strain).toBeCloseTo(0.2, 12);
    const rod: Specimen = { form: 'rod', diameterMm: 2, lengthMm: 60 };
    // Shear of one turn is 0.1047; its principal strain is half.
    expect(2 * strainOf(rod, 'twisted', 1).strain).toBeCloseTo(0.1047, 4);
  });

  it('gives the worked numbers of the bending standards', () => {
    // ISO 178: h 4, L 64, deflection 5.97 mm is a strain of 3.5 %.
    const iso: Specimen = { form: 'strip', thicknessMm: 4, widthMm: 10, lengthMm: 64 };
    expect(strainOf(iso, 'pressed in the middle', 5.97).strain).toBeCloseTo(0.035, 4);
    // ASTM D790: d 3.2, L 51.2, strain 0.01 in a minute is a crosshead rate of 1.365 mm/min.
    const astm: Specimen = { form: 'strip', thicknessMm: 3.2, widthMm: 12.7, lengthMm: 51.2 };
    expect(strainOf(astm, 'pressed in the middle', 1.365).strain).toBeCloseTo(0.01, 5);
    // ASTM D522: mandrels of 1, 1/2, 1/4 and 1/8 inch under 0.8 mm; the simple formula is the low
    // side of its table of 3.3, 6.75, 14 and 28 %.
    const low = [1, 1 / 2, 1 / 4, 1 / 8].map(
      (inch) => 100 * strainOf(strip(0.8, 100), 'around a rod', 25.4 * inch).strain,
    );
    expect(low.map((one) => Math.round(one * 10) / 10)).toEqual([3.1, 5.9, 11.2, 20.1]);
    for (const [i, table] of [3.3, 6.75, 14, 28].entries()) expect(low[i]).toBeLessThan(table);
  });
});

describe('strain of petals, tips and coils', () => {
  const petal = (form: 'petal' | 'pointed petal'): Specimen => ({
    form,
    thicknessMm: 1.2,
    widthMm: 10,
    lengthMm: 20,
  });

  it('a petal of even width takes 1.5 times what a pointed one does', () => {
    expect(strainOf(petal('petal'), 'pushed', 3).strain).toBeCloseTo(0.0135, 12);
    expect(strainOf(petal('pointed petal'), 'pushed', 3).strain).toBeCloseTo(0.009, 12);
  });

  it('finds the peak of a tapered tip as adding up slices does', () => {
    for (const [rootMm, tipMm] of [
      [4, 4],
      [4, 3],
      [4, 2],
      [4, 0.5],
    ]) {
      // Deflection and strain for a force of 1 and a stiffness of 1, slice by slice.
      const slices = 20_000;
      const length = 20;
      let [deflection, peak] = [0, 0];
      for (let i = 0; i < slices; i++) {
        const x = ((i + 0.5) / slices) * length;
        const d = tipMm + ((rootMm - tipMm) * x) / length;
        const second = (Math.PI * d ** 4) / 64;
        deflection += (x ** 2 / second) * (length / slices);
        peak = Math.max(peak, (x * d) / 2 / second);
      }
      const tip: Specimen = { form: 'tip', rootMm, tipMm, lengthMm: length };
      const { strain } = strainOf(tip, 'pushed', 2);
      expect(strain / ((2 * peak) / deflection)).toBeCloseTo(1, 3);
    }
  });

  it('a wide coil strains as plain torsion does', () => {
    const coil: Specimen = { form: 'coil', wireMm: 2, acrossMm: 200, turns: 4 };
    const plain = (10 * 2) / (Math.PI * 200 ** 2 * 4) / 2;
    expect(strainOf(coil, 'stretched', 10).strain / plain).toBeCloseTo(1, 1);
    const tight: Specimen = { ...coil, acrossMm: 8 };
    // C = 4: 15/12 + 0.615/4.
    expect(strainOf(tight, 'stretched', 10).strain).toBeCloseTo(
      ((15 / 12 + 0.615 / 4) * 10 * 2) / (Math.PI * 64 * 4) / 2,
      12,
    );
  });
});

describe('limits and refusals', () => {
  it('says where a formula stops to hold', () => {
    expect(strainOf(strip(1.5, 60), 'held as a ring').withinLimit).toBe(true);
    expect(strainOf(strip(1.5, 60), 'around a rod', 6).withinLimit).toBe(false);
    const thin: Specimen = { form: 'petal', thicknessMm: 0.5, widthMm: 9, lengthMm: 20 };
    expect(strainOf(thin, 'pushed', 6).withinLimit).toBe(true);
    expect(strainOf(thin, 'pushed', 9).withinLimit).toBe(false);
    expect(strainOf(strip(1.5, 60), 'pinched')).toMatchObject({ strain: 1, rankOnly: true });
  });

  it('thicker and farther is never less strain', () => {
    for (let i = 1; i < 20; i++) {
      const at = (t: number, d: number) => strainOf(strip(t, 60), 'pushed', d).strain;
      expect(at(i + 1, 5)).toBeGreaterThan(at(i, 5));
      expect(at(2, i + 1)).toBeGreaterThan(at(2, i));
    }
  });

  it('reads shapes as people write them, and refuses in words', () => {
    const petal = readSpecimen(' Petal 1,2 × 10 x 20 mm');
    expect(petal).toEqual({ form: 'petal', thicknessMm: 1.2, widthMm: 10, lengthMm: 20 });
    expect(readSpecimen(specimenInWords(petal))).toEqual(petal);
    const said = (work: () => unknown) => {
      try {
        work();
      } catch (error) {
        if (error instanceof AppError) return `${error.detail} ${error.hint}`;
      }
      return 'nothing was refused';
    };
    expect(said(() => readSpecimen('petal 1.2 x 10'))).toContain('A petal has 3 sizes');
    expect(said(() => readSpecimen('horn 3 x 60'))).toContain('is not a shape with sizes');
    expect(said(() => readSpecimen('rod 0 x 60'))).toContain('diameter of a rod cannot be 0');
    expect(said(() => readSpecimen('tip 1 x 2 x 20'))).toContain('thicker than its root');
    expect(said(() => strainOf(petal, 'stretched', 2))).toContain('cannot be "stretched"');
    expect(said(() => strainOf(petal, 'ends together'))).toContain('cannot be "ends together"');
    expect(said(() => strainOf(petal, 'pushed'))).toContain('How far is missing');
    expect(said(() => strainOf(petal, 'pushed', -1))).toContain('-1 mm');
  });
});
