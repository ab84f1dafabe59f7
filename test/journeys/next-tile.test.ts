import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { callHere, DEMO } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell next tile '));
const clay = join(folder, 'clay.json');
const NAMES = ['Foam', 'Mussel', 'Kelp', 'Lagoon', 'Periwinkle', 'Urchin', 'Anemone', 'Starfish'];
const KNOWN = [...NAMES, 'Limpet', 'Barnacle'];

const named = z.strictObject({
  of: z.enum(['all', 'some']),
  expected: z.number().positive(),
  how: z.string(),
  lookAt: z.array(z.unknown()).optional(),
  tiles: z.array(
    z.strictObject({
      parts: z.record(z.string(), z.int().positive()),
      before: z.number().positive(),
      after: z.number().positive(),
      tellsOf: z.string(),
      what: z.enum(['colour', 'scattering', 'strength', 'mix']),
      sentence: z.string(),
    }),
  ),
});
const ask = async (...words: string[]) => {
  const { code, out, err } = await callHere(['next-tile', clay, '--json', ...words]);
  expect([code, err]).toEqual([0, '']);
  return named.parse(JSON.parse(out));
};

beforeAll(async () => {
  const files = DEMO.map((path) => {
    const copy = join(folder, path.split('/').at(-1) ?? '');
    cpSync(path, copy);
    return copy;
  });
  expect((await callHere(['learn', ...files, '--out', clay])).code).toBe(0);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('next-tile', () => {
  it('names three tiles the user could cut, each making the mixes more certain than the one before', async () => {
    const { of, expected, tiles } = await ask();
    expect(of).toBe('all');
    expect(tiles).toHaveLength(3);
    let before = expected;
    for (const tile of tiles) {
      expect(tile.before).toBeCloseTo(before, 9);
      expect(tile.after).toBeLessThan(tile.before);
      expect(KNOWN).toEqual(expect.arrayContaining(Object.keys(tile.parts)));
      expect(Object.values(tile.parts).reduce((sum, n) => sum + n, 0)).toBeLessThanOrEqual(16);
      expect(Object.keys(tile.parts)).toContain(tile.tellsOf);
      expect(tile.sentence).toContain(`within ± ${tile.after.toFixed(1)}`);
      before = tile.after;
    }
  });

  it('says in the text what it says in numbers', async () => {
    const { tiles, expected } = await ask('--tiles', '2');
    const { out } = await callHere(['next-tile', clay, '--tiles', '2']);
    expect(out).toMatch(/^Which tiles should I bake next\?\n/);
    expect(out).toContain(`within ± ${expected.toFixed(1)} as things stand`);
    tiles.forEach(({ sentence }, i) => {
      expect(out).toContain(`  ${i + 1}  ${sentence}\n`);
    });
  });

  it('stays with the clays and parts it is given', async () => {
    const { tiles } = await ask('--only', 'kelp, Limpet', '--parts', '4', '--tiles', '1');
    expect(Object.keys(tiles[0].parts).toSorted()).toEqual(['Kelp', 'Limpet']);
    expect(Object.values(tiles[0].parts).reduce((sum, n) => sum + n, 0)).toBeLessThanOrEqual(4);
  });

  it('for a recipe, makes that recipe surer than tiles for all mixes do', async () => {
    const recipe = '2 Starfish + 1 Lagoon + 3 Foam';
    const { of, tiles } = await ask('--for', recipe, '--tiles', '1');
    expect(of).toBe('some');
    const helpful = ['Starfish', 'Lagoon', 'Foam', 'Mussel'];
    expect(helpful).toEqual(expect.arrayContaining(Object.keys(tiles[0].parts)));
    expect(tiles[0].after).toBeLessThan(0.8 * tiles[0].before);
  });

  it('baked, read and learned, the tile keeps its promise: the ± of the recipe falls', async () => {
    const recipe = '2 Starfish + 1 Lagoon + 3 Foam';
    const answer = async (model: string) => {
      const { out } = await callHere(['predict', model, '--of', recipe, '--json']);
      const { cov, lab } = JSON.parse(out);
      return { size: Math.sqrt(cov[0][0] + cov[1][1] + cov[2][2]), lab };
    };
    const [tile] = (await ask('--for', recipe, '--tiles', '1')).tiles;
    const of = Object.entries(tile.parts)
      .map(([name, n]) => `${n} ${name}`)
      .join(' + ');
    // What the tile reads does not matter for the ± near the optimum; take what is predicted.
    const { out } = await callHere(['predict', clay, '--of', of, '--json']);
    const [l, a, b] = JSON.parse(out).lab;
    const csv = readFileSync(join(folder, 'tide-pool.csv'), 'utf8').trimEnd();
    const more = join(folder, 'more.csv');
    writeFileSync(more, `${csv}\nNext 1,${of},baked,${l},${a},${b},,\n`);
    const again = join(folder, 'again.json');
    const files = [more, join(folder, 'spectra.csv')];
    expect((await callHere(['learn', ...files, '--out', again])).code).toBe(0);
    const [before, after] = [await answer(clay), await answer(again)];
    expect(after.size).toBeLessThan(0.9 * before.size);
  });

  it('for an aim, takes the recipes that come nearest to it', async () => {
    const { of, tiles, expected } = await ask('--aim', '#8a9b6c', '--only', 'Kelp, Limpet, Foam');
    expect(of).toBe('some');
    for (const { parts } of tiles) {
      expect(['Kelp', 'Limpet', 'Foam']).toEqual(expect.arrayContaining(Object.keys(parts)));
    }
    expect(tiles[0].before).toBe(expected);
  });

  it.each([
    [['--for', '1 Klep + 1 Foam'], 'Did you mean Kelp?'],
    [['--tiles', '0'], '--tiles is "0"'],
    [['--parts', '1.5'], '--parts is "1.5"'],
    [['--only', ','], '--only names no clay'],
    [['--basis', 'weight'], 'were learned by volume'],
    [['--aim', 'nice'], 'not a colour that can be read'],
  ])('says what is amiss with %j', async (words, said) => {
    const { code, out, err } = await callHere(['next-tile', clay, ...words]);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(said);
  });
});
