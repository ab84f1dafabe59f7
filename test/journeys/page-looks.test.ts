import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { srgbFromLab } from '../../src/core/colour/display.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { NO_BROWSER, type PageHere, pageHere } from './page.ts';
import { openSeeded, seededBlocks } from './seeded-blocks.ts';

let here: PageHere;
let labs: ReadonlyMap<string, Lab>;
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  here = await pageHere();
  labs = await seededBlocks(here.client);
});
afterAll(async () => {
  await here?.end();
});

describe.skipIf(NO_BROWSER !== undefined)(`how the page looks (${NO_BROWSER ?? 'browser'})`, () => {
  // The codes are srgbFromLab's, itself held to CSS Color 4 in src/core/colour/display.test.ts.
  it.each(['light', 'dark'] as const)(
    'shows 200 seeded tiles within a code of 255 of what was computed, in the %s theme',
    async (frame) => {
      const page = await here.open({ frame });
      await openSeeded(page, here.run.server.url);
      const cells = page.locator('.stock-cell');
      expect(await cells.count()).toBe(labs.size);
      const list = page.locator('ul.tray-blocks').first();
      const { data, info } = await sharp(await list.screenshot())
        .removeAlpha()
        .raw()
        .toBuffer({ resolveWithObject: true });
      const origin = (await list.boundingBox())!;
      let worst = 0;
      for (const cell of await cells.all()) {
        const lab = labs.get((await cell.locator('.tray-name').textContent())!)!;
        const box = (await cell.locator('.block-left').boundingBox())!;
        const x = Math.floor(box.x - origin.x + box.width / 2);
        const y = Math.floor(box.y - origin.y + box.height / 2);
        const { rgb } = srgbFromLab(lab);
        for (let k = 0; k < 3; k++) {
          const seen = data[(y * info.width + x) * info.channels + k] / 255;
          worst = Math.max(worst, Math.abs(seen - rgb[k]));
        }
      }
      expect(worst).toBeLessThanOrEqual(1 / 255);
      await page.context().close();
    },
    120_000,
  );
});
