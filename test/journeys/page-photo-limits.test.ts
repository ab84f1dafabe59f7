import { describe, expect, it } from 'vitest';
import { rulesBroken } from './accessibility-rules.ts';
import { NO_BROWSER } from './page.ts';
import { file, photoBench, photoInput, photoScreen, photosRead, tileRows } from './photo-screen.ts';

const bench = photoBench();

describe.skipIf(NO_BROWSER !== undefined)(`a photo of tiles (${NO_BROWSER ?? 'browser'})`, () => {
  it('says in words what is not a photo, reads the next all the same, and waits in the same place', async () => {
    const page = await photoScreen(bench.here);
    const huge = Buffer.from('89504e470d0a1a0a0000000d4948445200008000000080000802000000', 'hex');
    for (const [name, bytes, type, words] of [
      [
        'notes.txt',
        'Sea moss: 5 Kelp',
        'text/plain',
        /is no JPEG, PNG, HEIC, TIFF or WebP picture/,
      ],
      ['page.jpg', '<!doctype html><script>1</script>', 'image/jpeg', /is no JPEG picture/],
      ['huge.png', huge, 'image/png', /at most 100 million/],
      [
        'torn.jpg',
        bench.tray.bytes.subarray(0, 30_000),
        'image/jpeg',
        /torn\.jpg cannot be read as a photo/,
      ],
    ] as const) {
      await photoInput(page).setInputFiles(file(name, bytes, type));
      const alert = page.getByRole('alert').filter({ hasText: words });
      await alert.waitFor();
      await alert.getByRole('button', { name: 'Dismiss' }).click();
    }
    const refused = bench.here.complaints.splice(0);
    expect(refused.every((one) => /status of 4(?:00|13)/.test(one))).toBe(true);
    expect(refused.length).toBe(4);

    // The second comes while the first is read; the user leaves in the middle.
    await photoInput(page).setInputFiles(file('first.jpg', bench.tray.bytes));
    await page.getByRole('region', { name: /^Photo 1/ }).waitFor();
    await photoInput(page).setInputFiles(file('second.jpg', bench.bare.bytes));
    await page.getByRole('region', { name: /^Photo 2/ }).waitFor();
    await page.getByRole('link', { name: 'Stock' }).click();
    await page.getByRole('heading', { name: 'Stock' }).waitFor();
    await page.getByRole('link', { name: 'Tiles', exact: true }).click();
    await page.getByRole('link', { name: 'Add tiles from a photo' }).click();
    await photosRead(page);
    await expect.poll(() => page.locator('.seen').count()).toBe(2);
    // Both show one tray: each tile stands once, over both photos.
    expect(await tileRows(page).count()).toBe(bench.tray.scene.tiles.length);
    for (const name of ['first.jpg', 'second.jpg']) {
      await page
        .getByRole('region', { name: new RegExp(name) })
        .getByRole('button', { name: 'Delete this photo' })
        .click();
    }
    await page.getByRole('heading', { name: 'With a tray sheet' }).waitFor();
    await page.context().close();
  });

  it.each([
    ['light', 360],
    ['dark', 1280],
  ] as const)(
    'breaks no rule of accessibility: %s frame, %d px',
    async (frame, width) => {
      const page = await photoScreen(bench.here, { frame, width, height: 800 });
      const clean = async () => {
        expect(await rulesBroken(page)).toEqual([]);
        const over = 'document.documentElement.scrollWidth - document.documentElement.clientWidth';
        expect(await page.evaluate(over)).toBe(0);
      };
      await clean();
      await photoInput(page).setInputFiles(file('tray.jpg', bench.tray.bytes));
      await photosRead(page);
      await page
        .getByLabel(/^Code of tile/)
        .first()
        .fill('Klep');
      await page.getByText('Nothing in the book is called Klep.').waitFor();
      for (const summary of await page.locator('summary').all()) await summary.click();
      await clean();
      await page.getByRole('button', { name: 'Print a tray sheet' }).click();
      await page.getByRole('dialog').waitFor();
      await clean();
      await page.context().close();
    },
    60_000,
  );
});
