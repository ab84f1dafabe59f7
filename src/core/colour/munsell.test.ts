import { describe, expect, it } from 'vitest';
import { numbers, oracle } from '../../../test/oracles/colour/read-oracle.ts';
import { adaptXyz } from './adaptation.ts';
import { deltaE2000 } from './difference.ts';
import { labFromMunsell, munsellFromLab } from './munsell.ts';
import { type MunsellColour, parseMunsell } from './munsell-notation.ts';
import { C_WHITE, heldChroma, luminanceFromValue, valueFromLuminance } from './munsell-surface.ts';
import { labFromXyz } from './spaces.ts';
import type { Lab } from './triples.ts';
import { colourWeights } from './weights.ts';

/** Lab D50 of x, y and Y (perfect diffuser = 1) for illuminant C. */
function labFromXyY(x: number, y: number, Y: number): Lab {
  const white = colourWeights('D50', 2).white;
  return labFromXyz(adaptXyz([(x * Y) / y, Y, ((1 - x - y) * Y) / y], C_WHITE, white), white);
}

const hueApart = (one: number, other: number) =>
  Math.min(Math.abs(one - other), 100 - Math.abs(one - other));

function heldColour(lab: Lab): MunsellColour & { hue: number } {
  const answer = munsellFromLab(lab);
  if (!answer.held || answer.colour.hue === null) throw new Error('not held, or neutral');
  return { ...answer.colour, hue: answer.colour.hue };
}

describe('Munsell value', () => {
  it('has the luminance of the renotation table times 0.975, four digits', () => {
    for (const row of oracle('renotation-real.csv')) {
      const [value, yMgo] = numbers(row, 'V', 'Y_mgo');
      expect(Math.abs(luminanceFromValue(value) / (0.00975 * yMgo) - 1)).toBeLessThan(2.5e-4);
    }
  });

  // Documentation of an open library quoting ASTM D1535-08; V 5 computed from the formula.
  it.each([
    [4.08244375, 12.2363, 0.0001],
    [5, 19.27, 0.002],
    [10, 100, 1e-9],
  ])('of %f has Y %f', (value, percent, tolerance) => {
    expect(Math.abs(100 * luminanceFromValue(value) - percent)).toBeLessThan(tolerance);
  });

  it('matches the quintic of an independent program below 1', () => {
    for (const row of oracle('munsell-value-luminance.csv')) {
      const [value, percent] = numbers(row, 'V', 'Y');
      expect(Math.abs(100 * luminanceFromValue(value) - percent)).toBeLessThan(6e-7);
    }
  });

  it('comes back from luminance', () => {
    for (let v = 0; v <= 10; v += 0.01) {
      expect(valueFromLuminance(luminanceFromValue(v))).toBeCloseTo(v, 10);
    }
    expect(valueFromLuminance(-0.1)).toBe(0);
    expect(valueFromLuminance(1.2)).toBe(10);
  });
});

describe('Munsell colours', () => {
  // Newhall, Nickerson, Judd 1943: every colour inside the MacAdam limits.
  it('go to the Lab of all 2734 renotation colours, and back', () => {
    const rows = oracle('renotation-real.csv');
    expect(rows).toHaveLength(2734);
    for (const row of rows) {
      const [value, chroma, x, y] = numbers(row, 'V', 'C', 'x', 'y');
      const notation = `${row.hue} ${value}/${chroma}`;
      const colour = parseMunsell(notation);
      const lab = labFromXyY(x, y, luminanceFromValue(value));
      const answer = labFromMunsell(colour);
      if (!answer.held) throw new Error(`${notation} is refused`);
      for (let k = 0; k < 3; k++) expect(Math.abs(answer.lab[k] - lab[k])).toBeLessThan(1e-9);
      const back = heldColour(lab);
      expect(hueApart(back.hue, colour.hue ?? Number.NaN), notation).toBeLessThan(1e-6);
      expect(Math.abs(back.value - value)).toBeLessThan(1e-6);
      expect(Math.abs(back.chroma - chroma), notation).toBeLessThan(1e-6);
    }
  });

  // Worked examples of ASTM D1535, which read its charts by eye: half a hue step, 0.1, 0.15.
  it.each(oracle('munsell-astm-d1535.csv'))('read $hue $V/$C as ASTM D1535 does', (row) => {
    const [x, y, percent, value, chroma] = numbers(row, 'x', 'y', 'Y', 'V', 'C');
    const got = heldColour(labFromXyY(x, y, percent / 100));
    const hue = parseMunsell(`${row.hue} 5/2`).hue ?? Number.NaN;
    expect(hueApart(got.hue, hue)).toBeLessThan(0.5);
    expect(Math.abs(got.value - value)).toBeLessThan(0.1);
    expect(Math.abs(got.chroma - chroma)).toBeLessThan(0.15);
  });

  // The sheet of the 24-patch chart (McCamy, Marcus, Davidson 1976), x and y to three digits.
  it.each(oracle('chart-insert-munsell-names.csv'))('read $name as its sheet does', (row) => {
    const [x, y, percent, value, chroma] = numbers(row, 'x', 'y', 'Y', 'V', 'C');
    const got = heldColour(labFromXyY(x, y, percent / 100));
    const hue = parseMunsell(`${row.hue} 5/2`).hue ?? Number.NaN;
    expect(hueApart(got.hue, hue)).toBeLessThan(0.35);
    expect(Math.abs(got.value - value)).toBeLessThan(0.12);
    expect(Math.abs(got.chroma - chroma)).toBeLessThan(0.25);
  });

  it('come back between the table colours too', () => {
    for (let hue = 0.7; hue < 100; hue += 3.1)
      for (let value = 1.3; value < 9; value += 1.7)
        for (const part of [0.1, 0.45, 0.9]) {
          const chroma = part * Math.min(12, heldChroma(hue, value));
          const answer = labFromMunsell({ hue, value, chroma });
          if (!answer.held) throw new Error('refused');
          const back = heldColour(answer.lab);
          expect(hueApart(back.hue, hue)).toBeLessThan(1e-6);
          expect(Math.abs(back.chroma - chroma)).toBeLessThan(1e-6);
        }
  });

  it('run on without a jump across hues, values and chromas of the table', () => {
    const at = (hue: number, value: number, chroma: number) => {
      const answer = labFromMunsell({ hue, value, chroma });
      if (!answer.held) throw new Error('refused');
      return answer.lab;
    };
    const step = 1e-7;
    for (const [hue, value, chroma] of [
      [12.5, 5.5, 5],
      [0, 4.5, 3],
      [47, 5, 5],
      [47, 5.5, 4],
      [33, 6.2, 2],
    ]) {
      const low = at(hue === 0 ? 100 - step : hue - step, value - step, chroma - step);
      const high = at(hue + step, value + step, chroma + step);
      expect(deltaE2000(low, high)).toBeLessThan(1e-4);
    }
  });
});

describe('neutrals', () => {
  it('are held from black to white', () => {
    for (const value of [0, 0.5, 3.5, 9.5, 10]) {
      const answer = labFromMunsell({ hue: null, value, chroma: 0 });
      if (!answer.held) throw new Error('refused');
      expect(Math.hypot(answer.lab[1], answer.lab[2])).toBeLessThan(1e-9);
      const back = munsellFromLab(answer.lab);
      expect(back.held && back.colour.hue === null).toBe(true);
      expect(back.held && back.colour.value).toBeCloseTo(value, 9);
    }
  });
});

describe('outside the renotation', () => {
  it('gives the closest, which is itself inside', () => {
    for (const notation of ['5R 4/40', '5Y 9.5/6', '5PB 0.5/4', '5G 9.2/30']) {
      const asked = parseMunsell(notation);
      const answer = labFromMunsell(asked);
      if (answer.held) throw new Error(`${notation} is held`);
      expect(answer.nearest.hue).toBe(asked.hue);
      expect(labFromMunsell(answer.nearest)).toEqual({ held: true, lab: answer.nearestLab });
    }
  });

  it('give a Lab the closest and its distance', () => {
    const answer = munsellFromLab([50, 120, 0]);
    if (answer.held) throw new Error('held');
    const nearest = labFromMunsell(answer.nearest);
    if (!nearest.held) throw new Error('the nearest is not held');
    expect(answer.deltaE).toBeCloseTo(deltaE2000([50, 120, 0], nearest.lab), 9);
    expect(answer.deltaE).toBeGreaterThan(4);
  });

  it('does not take lightness over white for white', () => {
    const answer = munsellFromLab([104, 0, 0]);
    expect(answer.held).toBe(false);
    if (!answer.held) expect(answer.deltaE).toBeGreaterThan(1);
  });
});
