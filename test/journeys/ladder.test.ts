import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { callHere, demoClayFile } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell ladder '));
const clay = join(folder, 'clay.json');

beforeAll(async () => {
  await demoClayFile(clay);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Step {
  readonly pieces: readonly [number, number];
  readonly ofPreMix: number;
  readonly parts: Readonly<Record<string, number>>;
  readonly lab: Lab;
}

async function ladder(...options: string[]) {
  const { out, err } = await callHere(['ladder', clay, '--json', ...options]);
  expect(err).toBe('');
  return JSON.parse(out) as {
    readonly steps: readonly Step[];
    readonly unevenness: number;
    readonly equalParts: number;
    readonly evenWith: number;
    readonly evenThrough?: readonly [number, number];
    readonly preMix?: { readonly pieces: readonly [number, number] };
  };
}

describe('ladder', () => {
  it('goes from one clay to another in whole parts, even to the eye', async () => {
    const { steps, unevenness, equalParts } = await ladder(
      ...['--from', '1 Kelp', '--to', '1 Limpet', '--steps', '5', '--parts', '12'],
    );
    expect(steps[0].parts).toEqual({ Kelp: 1 });
    expect(steps[4].parts).toEqual({ Limpet: 1 });
    for (const { parts } of steps) {
      const counts = Object.values(parts);
      expect(counts.every(Number.isInteger)).toBe(true);
      expect(counts.reduce((sum, n) => sum + n, 0)).toBeLessThanOrEqual(12);
    }
    const sizes = steps.slice(1).map(({ lab }, i) => deltaE2000(steps[i].lab, lab));
    const mean = sizes.reduce((sum, v) => sum + v, 0) / sizes.length;
    expect(unevenness).toBeCloseTo(Math.max(...sizes) / mean, 9);
    expect(unevenness).toBeLessThan(1.3);
    expect(unevenness).toBeLessThan(equalParts);
  });

  it('gives every step the colour that predict gives it', async () => {
    const { steps } = await ladder('--from', '2 Kelp + 1 Foam', '--to', '1 Limpet', '--steps', '4');
    for (const { parts, lab } of steps) {
      const recipe = Object.entries(parts)
        .map(([name, n]) => `${n} ${name}`)
        .join(' + ');
      const { out } = await callHere(['predict', clay, '--of', recipe, '--json']);
      expect(deltaE2000(JSON.parse(out).lab, lab)).toBeLessThan(1e-9);
    }
  });

  it('leads to a grey as light as the first mix', async () => {
    const { steps } = await ladder('--from', '1 Kelp', '--to', 'grey', '--steps', '3');
    const [l, a, b] = steps[2].lab;
    expect(Math.abs(l - steps[0].lab[0])).toBeLessThan(4);
    expect(Math.hypot(a, b)).toBeLessThan(8);
  });

  it('says how many pieces an even ladder takes, or that there are too few', async () => {
    const towards = ['--from', '1 Kelp', '--to', 'white', '--steps', '5'];
    const few = await ladder(...towards, '--parts', '12');
    expect(few.unevenness).toBeGreaterThan(1.3);
    const enough = await ladder(...towards, '--parts', String(few.evenWith));
    expect(enough.unevenness).toBeLessThanOrEqual(1.3);
    const { code, err } = await callHere(['ladder', clay, ...towards, '--parts', '2']);
    expect(code).toBe(2);
    expect(err).toContain('--parts');
  });

  it('makes a strong clay weaker in a pre-mix first, and every step can be counted', async () => {
    const towards = ['--from', '1 Limpet', '--to', 'white', '--steps', '5', '--parts', '12'];
    const { evenThrough } = await ladder(...towards);
    const { steps, unevenness, preMix } = await ladder(...towards, '--pre-mix');
    expect(preMix?.pieces).toEqual(evenThrough);
    expect(unevenness).toBeLessThanOrEqual(1.3);
    const [strong, weak] = preMix!.pieces;
    expect(steps.some(({ ofPreMix }) => ofPreMix > 0)).toBe(true);
    for (const { pieces, ofPreMix, parts } of steps) {
      expect(pieces[0] + pieces[1] + ofPreMix).toBeLessThanOrEqual(12);
      // Volumes by hand: a piece of the pre-mix holds its share of each end.
      const limpet = pieces[0] + (ofPreMix * strong) / (strong + weak);
      const all = Object.values(parts).reduce((sum, n) => sum + n, 0);
      expect((parts.Limpet ?? 0) / all).toBeCloseTo(
        limpet / (pieces[0] + pieces[1] + ofPreMix),
        12,
      );
    }
    const { out } = await callHere(['ladder', clay, ...towards, '--pre-mix']);
    expect(out).toContain(`First make a pre-mix of ${strong} : ${weak} pieces`);
    expect(out).toMatch(/\d pre-mix \+ \d+ (first|last)/);
  });

  it('shows an original beside the ratios asked for, and refuses one of nothing', async () => {
    const { steps } = await ladder(
      ...['--from', '1 Kelp', '--to', '1 Foam', '--ratios', '1:1, 7:1, 3:1, 6:2'],
    );
    expect(steps.map(({ parts }) => parts)).toEqual([
      { Kelp: 1 },
      { Kelp: 7, Foam: 1 },
      { Kelp: 3, Foam: 1 },
      { Kelp: 1, Foam: 1 },
    ]);
    for (const [ratio, said] of [
      ['0:0', 'no piece'],
      ['3 to 1', '3:1'],
    ] as const) {
      const { code, err } = await callHere([
        'ladder',
        clay,
        '--from',
        '1 Kelp',
        '--to',
        '1 Foam',
        '--ratios',
        ratio,
      ]);
      expect(code).toBe(2);
      expect(err).toContain(said);
    }
  });
});
