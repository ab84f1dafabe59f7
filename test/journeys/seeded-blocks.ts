import type { Page } from 'playwright-core';
import type { ApiClient } from '../../src/client/api-client.ts';
import { labFromLch } from '../../src/core/colour/spaces.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { seededChance } from '../../src/core/numeric/seeded-chance.ts';

const BLOCKS = 200;
/** Within the most steps of one change. */
const EACH_CHANGE = 50;

/**
 * Adds a line of 200 blocks with seeded measured colours, which Stock shows as tiles.
 * Returns: the colour of each block by its name
 */
export async function seededBlocks(client: ApiClient): Promise<ReadonlyMap<string, Lab>> {
  const random = seededChance(20_261);
  const labs = new Map(
    Array.from({ length: BLOCKS }, (_, i) => [
      `Pebble ${i + 1}`,
      labFromLch([5 + 92 * random.uniform(), 70 * random.uniform(), 360 * random.uniform()]),
    ]),
  );
  const line = { do: 'put', kind: 'line', id: 'pebbles' };
  const steps = [...labs].flatMap(([name, lab], i) => [
    {
      do: 'put',
      kind: 'block',
      id: `pebble-${i}`,
      body: { lineId: 'pebbles', name, clayType: 'opaque', status: 'current' },
    },
    {
      do: 'put',
      kind: 'reading',
      id: `pebble-reading-${i}`,
      body: {
        of: { kind: 'block', id: `pebble-${i}` },
        readingKind: 'measured',
        state: 'baked',
        lab: { values: [...lab], light: 'D50', observer: 2 },
        spread: 0.5,
        geometry: 'excluded',
      },
    },
  ]);
  const all = [{ ...line, body: { name: 'Lantern', status: 'current' } }, ...steps];
  for (let from = 0; from < all.length; from += EACH_CHANGE) {
    await client.call('makeChange', {
      body: { what: 'Seeded blocks', steps: all.slice(from, from + EACH_CHANGE) as never },
    });
  }
  return labs;
}

/** Opens Stock and waits for the tiles of all seeded blocks. */
export async function openSeeded(page: Page, base: string): Promise<void> {
  await page.goto(`${base}/stock`);
  await page
    .locator('.stock-cell .block-left:not(.no-colour)')
    .nth(BLOCKS - 1)
    .waitFor();
}
