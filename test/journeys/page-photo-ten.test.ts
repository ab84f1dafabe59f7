import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { NO_BROWSER } from './page.ts';
import { file, photoBench, photoInput, photoScreen, tileRows } from './photo-screen.ts';

const bench = photoBench();

describe.skipIf(NO_BROWSER !== undefined)(`ten photos at once (${NO_BROWSER ?? 'browser'})`, () => {
  it('shows all of them at once in their order, and reads each though some fail on the way', async () => {
    const page = await photoScreen(bench.here);
    const small = await sharp(bench.tray.bytes).resize(800).jpeg({ quality: 90 }).toBuffer();
    const names = Array.from({ length: 10 }, (_, i) => `tray-${i + 1}.jpg`);
    // The first is long on its way, and two readings cannot be asked for at first.
    let held: (() => void) | undefined;
    await page.route('**/photo-drafts?*', async (route) => {
      if (route.request().url().includes('tray-1.jpg')) {
        await new Promise<void>((go) => {
          held = go;
        });
      }
      await route.continue();
    });
    let lost = 2;
    await page.route('**/api/v1/jobs', (route) =>
      route.request().method() === 'POST' && lost-- > 0
        ? route.abort('connectionreset')
        : route.continue(),
    );
    await photoInput(page).setInputFiles(
      names.map((name) => file(name, name === 'tray-4.jpg' ? small.subarray(0, 8000) : small)),
    );
    const lines = page.getByRole('list', { name: 'Photos', exact: true });
    const line = (name: string) => lines.getByRole('listitem').filter({ hasText: name });
    await line('tray-10.jpg').waitFor();
    const shown = async () =>
      (await lines.getByRole('listitem').allInnerTexts()).map((words) => words.split('\n')[0]);
    expect(await shown()).toEqual(names);

    // The others do not wait for the one that hangs or for the incomplete photo.
    const whole = names.filter((name) => name !== 'tray-4.jpg');
    await page.getByRole('alert').filter({ hasText: 'tray-4.jpg' }).waitFor();
    await page.getByRole('region', { name: /^Photo 8, tray-10\.jpg/ }).waitFor();
    expect(await shown()).toEqual(whole);
    held?.();
    await page.getByRole('region', { name: 'Photo 1, tray-1.jpg' }).waitFor();
    const found = `${bench.tray.scene.tiles.length} tiles`;
    await expect
      .poll(() => lines.getByRole('listitem').filter({ hasText: found }).count())
      .toBe(whole.length);
    expect(await shown()).toEqual(whole);
    expect(await page.locator('.photo-panel').count()).toBe(whole.length);
    await expect.poll(() => tileRows(page).count()).toBe(bench.tray.scene.tiles.length);
    expect(lost).toBeLessThan(0);
    expect(bench.here.complaints.splice(0).every((one) => /400|CONNECTION_RESET/.test(one))).toBe(
      true,
    );
    await page.context().close();
  });

  it('reads a photo that was laid there and never asked for', async () => {
    const page = await photoScreen(bench.here);
    await page.route('**/api/v1/jobs', (route) => route.abort('connectionreset'));
    await photoInput(page).setInputFiles(file('tray.jpg', bench.tray.bytes));
    await page.getByRole('button', { name: 'Read again' }).waitFor();
    await page.unroute('**/api/v1/jobs');
    await page.reload();
    await expect.poll(() => tileRows(page).count()).toBe(bench.tray.scene.tiles.length);
    bench.here.complaints.splice(0);
    await page.context().close();
  });

  it('names a known tile from a list, and may be balanced by it', async () => {
    const put = (kind: string, id: string, body: unknown) => ({ do: 'put', kind, id, body });
    const steps = [
      put('tile', 'control', {
        code: 'C1',
        of: { kind: 'block', id: 'kelp' },
        basis: 'volume',
        state: 'baked',
        bakes: [],
      }),
      put('reading', 'known', {
        of: { kind: 'tile', id: 'control' },
        readingKind: 'measured',
        state: 'baked',
        lab: { values: [...bench.bare.scene.tiles[0].lab], light: 'D50', observer: 2 },
        spread: 0.3,
        geometry: 'excluded',
      }),
    ];
    await bench.here.client.call('makeChange', {
      body: { what: 'Knew one', steps: steps as never },
    });
    const page = await photoScreen(bench.here);
    await photoInput(page).setInputFiles(file('bare.jpg', bench.bare.bytes));
    const [{ place }] = bench.bare.scene.tiles;
    await page.getByLabel('A tile measured before').selectOption('C1');
    await page.getByLabel('Its place in this photo').selectOption({ label: `tile ${place}` });
    await page.getByRole('button', { name: 'Use this tile' }).click();
    await page.getByText('Another reading of the tile C1.').waitFor();
    await page.getByRole('button', { name: 'Balance the photo' }).click();
    await page.getByText('The photo is balanced by 1 tile measured before.').waitFor();
    await page.context().close();
  });
});
