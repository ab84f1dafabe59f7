import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sidesOf } from '../../src/core/verdict/verdict.ts';
import { callHere, demoClayFile } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell translate '));
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

describe('translate', () => {
  it('gives for each recipe what find gives for its predicted colour', async () => {
    const recipes = ['5 Kelp + 3 Limpet', '2 Kelp + 5 Foam'];
    const rules = ['--without', 'Kelp', '--clays', '3'];
    const { translated } = await json(
      ...['translate', clay, ...recipes.flatMap((of) => ['--of', of]), ...rules],
    );
    expect(translated).toHaveLength(2);
    for (const [i, of] of recipes.entries()) {
      const { lab } = await json('predict', clay, '--of', of);
      const found = await json('find', clay, '--aim', lab.join(','), ...rules);
      expect(translated[i].of).toBe(of);
      expect(translated[i].wanted).toEqual(lab);
      expect(translated[i].parts).toEqual(found.recipes[0].parts);
      expect(translated[i].dE00).toBeCloseTo(found.recipes[0].dE00, 9);
      expect(Object.keys(translated[i].parts)).not.toContain('Kelp');
    }
  });

  it('says of one recipe why it has none, and goes on with the next', async () => {
    const { translated } = await json(
      ...['translate', clay, '--of', '2 Nosuch + 1 Kelp', '--of', '1 Kelp', '--without', 'Kelp'],
    );
    expect(translated[0].why).toContain('Nosuch');
    expect(translated[1].parts).toBeDefined();
  });

  it('asks for a recipe where there is no book', async () => {
    const { code, err } = await callHere(['translate', clay]);
    expect(code).toBe(2);
    expect(err).toContain('--of');
  });

  it('says how far off to expect it, and a crumb that leads back', async () => {
    const recipes = [
      '5 Kelp + 3 Limpet',
      '2 Kelp + 5 Foam',
      '3 Urchin + 1 Foam',
      '1 Kelp + 1 Urchin',
    ];
    const { translated } = await json(
      ...['translate', clay, ...recipes.flatMap((of) => ['--of', of]), '--without', 'Kelp'],
    );
    const words = (of: Readonly<Record<string, number>>) =>
      Object.entries(of)
        .map(([name, n]) => `${n} ${name}`)
        .join(' + ');
    const lab = async (of: Readonly<Record<string, number>>) =>
      (await json('predict', clay, '--of', words(of))).lab;
    const opposite: Readonly<Record<string, string>> = {
      ...{ lighter: 'darker', darker: 'lighter', brighter: 'duller', duller: 'brighter' },
      ...{ redder: 'greener', greener: 'redder', yellower: 'bluer', bluer: 'yellower' },
    };
    let hints = 0;
    for (const { parts, dE00, plusMinus, expected, hint } of translated) {
      expect(expected).toBeCloseTo(Math.hypot(dE00, plusMinus), 9);
      if (hint === null) continue;
      hints++;
      expect(hint.add).not.toBe('Kelp');
      const more = { ...parts, [hint.add]: (parts[hint.add] ?? 0) + 0.25 };
      const sides = sidesOf(await lab(parts), await lab(more));
      expect(sides.map(({ word }) => word)).toContain(opposite[hint.looks]);
    }
    expect(hints).toBeGreaterThan(0);
  });
});
