import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { callHere, demoClayFile } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell new lot '));
const clay = join(folder, 'clay.json');

beforeAll(async () => {
  await demoClayFile(clay);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function json(...call: string[]) {
  const { out, err } = await callHere([...call, '--json']);
  expect(err).toBe('');
  return JSON.parse(out);
}

interface Affected {
  readonly of: string;
  readonly parts: Readonly<Record<string, number>>;
  readonly before: Lab;
  readonly after: { readonly lab: Lab; readonly dE00: number; readonly chance: number };
  readonly cut: {
    readonly parts: Readonly<Record<string, number>>;
    readonly dE00: number;
    readonly change: number;
    readonly added: string | null;
  } | null;
  readonly stays: boolean;
}

const RECIPES = ['5 Kelp + 3 Foam', '1 Kelp + 8 Foam', '2 Kelp + 1 Limpet', '3 Limpet + 1 Foam'];
const asked = RECIPES.flatMap((of) => ['--of', of]);

async function lotThatIs(by: Lab): Promise<{ dE00: number; mixes: Affected[] }> {
  const { lab } = await json('predict', clay, '--of', 'Kelp');
  const looks = (lab as Lab).map((v, k) => v + by[k]).join(',');
  return json('new-lot', clay, '--clay', 'Kelp', '--looks', looks, ...asked);
}

describe('a new lot of a clay', () => {
  it('changes the mixes that hold the clay, the worst first, each with a cut that comes closer', async () => {
    const { mixes } = await lotThatIs([7, 2, 4]);
    expect(mixes.map(({ of }) => of).sort()).toEqual(RECIPES.slice(0, 3).sort());
    const moved = mixes.map(({ after }) => after.dE00);
    expect(moved).toEqual(moved.toSorted((a, b) => b - a));
    for (const { of, before, after, cut, stays } of mixes) {
      const { lab } = await json('predict', clay, '--of', of);
      expect(deltaE2000(before, lab)).toBeLessThan(1e-9);
      expect(deltaE2000(before, after.lab)).toBeCloseTo(after.dE00, 9);
      expect(stays).toBe(after.dE00 <= 0.8);
      if (cut === null) continue;
      expect(cut.dE00).toBeLessThan(after.dE00);
      expect(Object.values(cut.parts).reduce((sum, n) => sum + n, 0)).toBeLessThanOrEqual(12);
    }
    expect(mixes.some(({ cut }) => cut !== null)).toBe(true);
    expect(moved[0]).toBeGreaterThan(1.8);
  });

  it('leaves every mix where the new lot looks like the old one', async () => {
    const { dE00, mixes } = await lotThatIs([0.2, 0, 0]);
    expect(dE00).toBeLessThan(0.5);
    expect(mixes).toHaveLength(3);
    for (const { cut, stays } of mixes) {
      expect(stays).toBe(true);
      expect(cut).toBe(null);
    }
  });

  it('is said to a person in words, and refuses a lot of two clays', async () => {
    const lot = ['--looks', '30,-10,12'];
    const { out } = await callHere(['new-lot', clay, '--clay', 'Kelp', ...lot, ...asked]);
    expect(out).toMatch(/Kelp is \d+\.\d off the old lot, .*\n.*3 mixes hold it/);
    const two = await callHere(['new-lot', clay, '--clay', '1 Kelp + 1 Foam', ...lot, ...asked]);
    expect(two.code).toBe(2);
    expect(two.err).toContain('--clay Kelp');
    const none = await callHere(['new-lot', clay, '--clay', 'Kelp', ...lot]);
    expect(none.code).toBe(2);
    expect(none.err).toContain('--of');
  });
});
