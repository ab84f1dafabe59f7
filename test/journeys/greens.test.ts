import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { srgbFromLab } from '../../src/core/colour/display.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { type Running, running } from '../server/running.ts';
import { demoStudio } from './program.ts';

let run: Running;
beforeAll(async () => {
  const around = mkdtempSync(join(tmpdir(), 'kneadwell-greens-'));
  await demoStudio(around);
  run = await running({}, join(around, 'demo'));
});
afterAll(() => run.end());

const mixes = async (query: object) =>
  (await run.client.call('mixList', { query: { limit: 100, ...query } })).body.rows;

/** As the screen draws it: green is clearly the strongest of the three lights. */
function isDrawnGreen(lab: Lab): boolean {
  const [r, g, b] = srgbFromLab(lab).rgb;
  return g > 1.12 * r && g > 1.12 * b;
}

describe('greens of the mix book', () => {
  it('are found by their word, every one that is drawn green, measured or predicted', async () => {
    const all = await mixes({});
    const coloured = all.filter(({ lab }) => lab !== undefined);
    expect(coloured.length).toBe(all.length);
    const drawn = coloured.filter(({ lab }) => isDrawnGreen(lab as Lab)).map(({ name }) => name);
    expect(drawn.length).toBeGreaterThanOrEqual(5);
    for (const query of [{ text: 'green' }, { colour: 'green' }]) {
      const found = (await mixes(query)).map(({ name }) => name);
      expect(found, JSON.stringify(query)).toEqual(expect.arrayContaining(drawn));
    }
  });
});
