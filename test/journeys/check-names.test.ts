import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { callHere, demoClayFile } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell names '));
const clay = join(folder, 'clay.json');
const RECIPES = ['Kelp', 'Foam', '1 Urchin + 2 Foam', '1 Limpet + 3 Kelp', 'Urchin', 'Limpet'];

let labs: readonly number[][];
beforeAll(async () => {
  await demoClayFile(clay);
  labs = await Promise.all(
    RECIPES.map(async (of) => {
      const { out } = await callHere(['predict', clay, '--of', of, '--json']);
      return JSON.parse(out).lab as number[];
    }),
  );
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** A file of readings: the colours of all recipes in order, beside these recipes. */
function fileOf(name: string, recipes: readonly string[]): string {
  const path = join(folder, `${name}.csv`);
  const rows = recipes.map((of, i) => `T${i + 1},${of},${labs[i]!.join()}`);
  writeFileSync(path, `tile,of,L,a,b\n${rows.join('\n')}\n`);
  return path;
}

const checked = async (path: string) => {
  const { out, err } = await callHere(['check-names', clay, '--readings', path, '--json']);
  expect(err).toBe('');
  return JSON.parse(out);
};

describe('check-names', () => {
  it('finds nothing to ask where each tile has the colour of its name', async () => {
    const { tiles, better } = await checked(fileOf('right', RECIPES));
    expect(better).toBeNull();
    expect(tiles).toHaveLength(RECIPES.length);
    for (const { predicted } of tiles) {
      expect(predicted.dE00).toBeLessThan(1e-9);
      expect(predicted.isDoubtful).toBe(false);
    }
  });

  it('says that two names are exchanged, and asks about both', async () => {
    const [a, b, ...others] = RECIPES as [string, string, ...string[]];
    const path = fileOf('exchanged', [b, a, ...others]);
    const { tiles, better } = await checked(path);
    expect(better).toEqual({ kind: 'exchange', one: 0, other: 1 });
    expect(
      tiles.map((tile: { predicted: { isDoubtful: boolean } }) => tile.predicted.isDoubtful),
    ).toEqual([true, true, false, false, false, false]);
    const { out } = await callHere(['check-names', clay, '--readings', path]);
    expect(out).toContain('The names of T1 and T2 seem to be exchanged.');
    expect(out).toMatch(/T1: \d+\.\d from the colour of its name.*Is this the right tile\?/);
  });

  it('says which file is missing', async () => {
    const { code, err } = await callHere(['check-names', clay]);
    expect(code).toBe(2);
    expect(err).toContain('--readings FILE is missing.');
  });

  it('does not ask about a clay that the model does not know', async () => {
    const { tiles } = await checked(fileOf('unknown', ['Driftwood', ...RECIPES.slice(1)]));
    expect(tiles[0].predicted).toBeNull();
    expect(tiles[1].predicted).not.toBeNull();
  });
});
