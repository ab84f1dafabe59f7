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

/** Of each block, within the first list: its name, and where its middle is drawn. */
const MIDDLES = `(() => {
  const { x, y } = document.querySelector('ul.tray-blocks').getBoundingClientRect();
  return [...document.querySelectorAll('.stock-cell')].map((cell) => {
    const box = cell.querySelector('.block-left').getBoundingClientRect();
    const name = cell.querySelector('.tray-name').textContent;
    return [name, Math.floor(box.x - x + box.width / 2), Math.floor(box.y - y + box.height / 2)];
  });
})()`;

describe.skipIf(NO_BROWSER !== undefined)(`how the page looks (${NO_BROWSER ?? 'browser'})`, () => {
  // The codes are srgbFromLab's, itself held to CSS Color 4 in src/core/colour/display.test.ts.
  it.each(['light', 'dark'] as const)(
    'shows 200 seeded tiles within a code of 255 of what was computed, in the %s theme',
    async (frame) => {
      const page = await here.open({ frame });
      await openSeeded(page, here.run.server.url);
      const list = page.locator('ul.tray-blocks').first();
      const { data, info } = await sharp(await list.screenshot())
        .removeAlpha()
        .raw()
        .toBuffer({ resolveWithObject: true });
      const middles = (await page.evaluate(MIDDLES)) as [name: string, x: number, y: number][];
      expect(middles.length).toBe(labs.size);
      let worst = 0;
      for (const [name, x, y] of middles) {
        const { rgb } = srgbFromLab(labs.get(name)!);
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
