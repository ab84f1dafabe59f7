import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { srgbFromLab } from '../../src/core/colour/display.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { NO_BROWSER, type PageHere, pageHere } from './page.ts';

let here: PageHere;
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  here = await pageHere();
});
afterAll(async () => {
  await here?.end();
});

describe.skipIf(NO_BROWSER !== undefined)(`how the page looks (${NO_BROWSER ?? 'browser'})`, () => {
  // The codes are srgbFromLab's, itself held to CSS Color 4 in src/core/colour/display.test.ts.
  it.each(['light', 'dark'] as const)(
    'shows 200 seeded tiles within a code of 255 of what was computed, in the %s frame',
    async (frame) => {
      const page = await here.open({ frame });
      await page.goto(`${here.run.server.url}/workshop`);
      const tiles = page.locator('[data-proof]');
      await tiles.first().waitFor();
      expect(await tiles.count()).toBe(200);
      await tiles.first().scrollIntoViewIfNeeded();
      const sheet = page.getByRole('list', { name: 'Seeded tiles' });
      const { data, info } = await sharp(await sheet.screenshot())
        .removeAlpha()
        .raw()
        .toBuffer({ resolveWithObject: true });
      const origin = (await sheet.boundingBox())!;
      let worst = 0;
      for (const tile of await tiles.all()) {
        const lab = (await tile.getAttribute('data-proof'))!.split(' ').map(Number);
        const box = (await tile.locator('.tile').boundingBox())!;
        const x = Math.floor(box.x - origin.x + box.width / 2);
        const y = Math.floor(box.y - origin.y + box.height / 2);
        const { rgb } = srgbFromLab(lab as unknown as Lab);
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

  it('draws only what is in sight of 100,000 tiles, from the first to the last', async () => {
    const page = await here.open();
    await page.goto(`${here.run.server.url}/workshop`);
    const list = page.getByRole('list', { name: 'A hundred thousand tiles' });
    await list.scrollIntoViewIfNeeded();
    await list.getByRole('button', { name: 'Tile 1:' }).focus();
    await page.keyboard.press('End');
    const last = list.getByRole('button', { name: 'Tile 100000:' });
    await last.waitFor();
    await expect.poll(() => last.evaluate((one) => one.matches(':focus'))).toBe(true);
    expect(await list.getByRole('button').count()).toBeLessThan(200);
    await page.keyboard.press('ArrowLeft');
    await expect
      .poll(() => page.evaluate('document.activeElement.textContent'))
      .toContain('Tile 99999');
    await page.keyboard.press('Home');
    await list.getByRole('button', { name: 'Tile 1:' }).waitFor();
    await page.context().close();
  });
});
