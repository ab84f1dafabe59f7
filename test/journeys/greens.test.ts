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
    // Predicted colours are worked out after the first list is there.
    const uncoloured = async () => (await mixes({})).filter(({ lab }) => lab === undefined).length;
    await expect.poll(uncoloured).toBe(0);
    const coloured = await mixes({});
    const drawn = coloured.filter(({ lab }) => isDrawnGreen(lab as Lab)).map(({ name }) => name);
    expect(drawn.length).toBeGreaterThanOrEqual(5);
    for (const query of [{ text: 'green' }, { colour: 'green' }]) {
      const found = async () => (await mixes(query)).map(({ name }) => name);
      await expect
        .poll(found, { message: JSON.stringify(query) })
        .toEqual(expect.arrayContaining(drawn));
    }
  });
});
