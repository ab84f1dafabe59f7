import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { NO_BROWSER, type PageHere, pageHere, pictureOf } from './page.ts';

let here: PageHere;
beforeAll(async () => {
  if (NO_BROWSER === undefined) here = await pageHere();
});
afterAll(async () => {
  await here?.end();
});

// Colours of the blocks as a screen code; invented, and far enough apart to mix with.
const BLOCKS = [
  ['Foam', [238, 240, 232]],
  ['Kelp', [52, 92, 50]],
  ['Limpet', [196, 128, 62]],
  ['Lagoon', [30, 70, 150]],
] as const;

describe.skipIf(NO_BROWSER !== undefined)(
  `the first five minutes (${NO_BROWSER ?? 'browser'})`,
  () => {
    it('lead from a picture of blocks on an empty book to a kept recipe, and back', async () => {
      const page = await here.open({ offline: true });
      await page.goto(here.run.server.url);
      await page.getByRole('button', { name: 'Photograph your blocks' }).click();
      const { png, middles } = await pictureOf(BLOCKS.map(([, rgb]) => rgb));
      await page
        .locator('input[type=file]')
        .setInputFiles({ name: 'blocks.png', mimeType: 'image/png', buffer: png });
      const picture = page.getByRole('button', { name: /^Photo of your blocks/ });
      await picture.waitFor();
      await page.waitForFunction(
        'document.querySelector(".picture canvas") && document.querySelector(".picture canvas").width > 300',
      );
      const box = (await picture.boundingBox())!;
      for (const [i, [name]] of BLOCKS.entries()) {
        const [x, y] = middles[i];
        await picture.click({ position: { x: x * box.width, y: y * box.height } });
        await page.getByLabel(`Name of block ${i + 1}`).fill(name);
      }
      await page.getByRole('button', { name: 'Save these 4 blocks' }).click();
      await page.getByRole('heading', { name: 'Your studio' }).waitFor();

      // What the camera saw is what the book holds, to half a code of 8 bits.
      const { body } = await here.client.call('listRecords', { query: { kind: 'reading' } });
      expect(body.records.length).toBe(BLOCKS.length);
      const { labFromSrgb } = await import('../../src/core/colour/display.ts');
      for (const [, [r, g, b]] of BLOCKS) {
        const lab = labFromSrgb([r / 255, g / 255, b / 255]);
        const near = body.records.some(
          (record) =>
            record.kind === 'reading' &&
            record.body.readingKind === 'rough' &&
            record.body.state === 'raw' &&
            Math.hypot(...record.body.lab!.values.map((v, k) => v - lab[k])) < 0.5,
        );
        expect(near).toBe(true);
      }

      await page.getByRole('link', { name: 'Find a recipe' }).click();
      await page.getByRole('radio', { name: 'By numbers' }).click();
      await page.getByLabel('Colour', { exact: true }).fill('#7d9a6b');
      await page.getByRole('button', { name: 'Use this colour' }).click();
      await page.getByText('From the colours of your blocks alone').waitFor();
      await expect.poll(() => page.locator('.recipe').count()).toBeGreaterThanOrEqual(3);
      await page.getByText(/^All .* recipes checked/).waitFor();

      await page.getByRole('button', { name: 'Save this mix' }).click();
      await page.getByLabel('Name', { exact: true }).fill('Sea moss');
      await page.getByRole('button', { name: 'Save', exact: true }).click();
      await page
        .getByRole('heading', { name: /Sea moss/ })
        .first()
        .waitFor();
      const kept = await here.client.call('listRecords', { query: { kind: 'mix' } });
      expect(kept.body.total).toBe(1);

      await page.locator('.notice').getByRole('button', { name: 'Undo' }).click();
      await page.getByText('Undone: Saved the mix').waitFor();
      expect((await here.client.call('listRecords', { query: { kind: 'mix' } })).body.total).toBe(
        0,
      );
      await page.locator('.notice').getByRole('button', { name: 'Redo' }).click();
      await page.getByText('Redone: Saved the mix').waitFor();
      expect((await here.client.call('listRecords', { query: { kind: 'mix' } })).body.total).toBe(
        1,
      );
      expect(here.complaints).toEqual([]);
    });

    it('lets a phone of the home network in by the code the owner sees', async () => {
      await here.client.call('setNetwork', { body: { on: true } });
      const { body } = await here.client.call('startPairing', {});
      const phone = await here.open({ width: 360, height: 740 });
      await phone.goto(body.urls[0].replace(/#.*$/, ''));
      await phone.getByRole('heading', { name: 'Pair this device' }).waitFor();
      await phone.getByLabel('Code').fill(body.code);
      await phone.getByLabel('Name of this device').fill('The old phone');
      await phone.getByRole('button', { name: 'Pair', exact: true }).click();
      await phone.getByRole('heading', { name: 'Your studio' }).waitFor();
      const { devices } = (await here.client.call('listDevices', {})).body;
      expect(devices.map(({ name }) => name)).toEqual(['The old phone']);
    });
  },
);
