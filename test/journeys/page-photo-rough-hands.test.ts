import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { NO_BROWSER } from './page.ts';
import {
  file,
  leaveOut,
  photoBench,
  photoInput,
  photoScreen,
  photosRead,
  tileRows,
} from './photo-screen.ts';

const bench = photoBench();

const count = async (kind: 'reading' | 'photo' | 'tile') =>
  (await bench.here.client.call('listRecords', { query: { kind, limit: 1 } })).body.total;

/** Everything left out but the first tile, which is Kelp. */
async function oneNamed(page: Page): Promise<void> {
  const [one, ...others] = bench.tray.scene.tiles.map(({ place }) => place);
  await page.getByLabel(`Code of tile ${one}`, { exact: true }).fill('Kelp');
  for (const place of others) await leaveOut(page, place);
  await page.getByText('A new tile of Kelp.').waitFor();
}

describe.skipIf(NO_BROWSER !== undefined)(`rough hands (${NO_BROWSER ?? 'browser'})`, () => {
  it('brings what is no photo among two that are, all at once', async () => {
    const page = await photoScreen(bench.here);
    // Brand "isom" of ISO 14496-12, as a phone's films begin.
    const film = Buffer.concat([
      Buffer.from('000000186674797069736f6d0000020069736f6d69736f32', 'hex'),
      Buffer.alloc(4000, 7),
    ]);
    const both = [1, 2].map((i) => file(`tray-${i}.jpg`, bench.tray.bytes));
    await photoInput(page).setInputFiles([
      file('empty.jpg', new Uint8Array()),
      both[0],
      file('film.mp4', film, 'video/mp4'),
      file('letter.png', 'Dear clay', 'image/png'),
      both[1],
    ]);
    await page.getByRole('region', { name: /^Photo 2/ }).waitFor();
    await photosRead(page);
    await expect.poll(() => page.locator('.seen').count()).toBe(2);
    expect(await tileRows(page).count()).toBe(bench.tray.scene.tiles.length);
    const said = await page.getByRole('alert').allInnerTexts();
    expect(said.length).toBe(3);
    for (const [i, name] of ['empty.jpg', 'film.mp4', 'letter.png'].entries()) {
      expect(said[i]).toContain(name);
    }
    expect(bench.here.complaints.splice(0).every((one) => one.includes('400'))).toBe(true);
    await page.context().close();
  });

  it('presses Accept while the network is gone, again and twice, and keeps it once', async () => {
    const page = await photoScreen(bench.here);
    await photoInput(page).setInputFiles(file('tray.jpg', bench.tray.bytes));
    await photosRead(page);
    await oneNamed(page);
    const accept = page.getByRole('button', { name: 'Accept 1 tile' });
    // The change arrives and its answer does not.
    await page.route('**/photos/accept', async (route) => {
      await route.fetch();
      await route.abort('connectionreset');
    });
    await accept.click();
    await page.locator('form .field-no').waitFor();
    expect(await page.getByLabel(/^Code of tile/).inputValue()).toBe('Kelp');
    await page.unroute('**/photos/accept');
    await accept.dblclick();
    await page.getByRole('heading', { name: '1 tile saved' }).waitFor();
    expect([await count('photo'), await count('tile'), await count('reading')]).toEqual([1, 1, 1]);
    bench.here.complaints.splice(0);
    await page.context().close();
  });

  it('has the photo deleted on another device while the user looks at it', async () => {
    const page = await photoScreen(bench.here);
    const laid = page.waitForResponse(
      (answer) => answer.url().includes('/photo-drafts') && answer.status() === 201,
    );
    await photoInput(page).setInputFiles(file('tray.jpg', bench.tray.bytes));
    const { id } = (await (await laid).json()) as { id: string };
    await photosRead(page);
    await oneNamed(page);
    const before = await count('reading');
    await bench.here.client.call('dropPhotoDraft', { params: { id } });
    await page.getByRole('button', { name: 'Accept 1 tile' }).click();
    await page
      .getByText(/This photo does not lie here any more\./)
      .first()
      .waitFor();
    expect(await count('reading')).toBe(before);
    // The names are still there, and the way out is at the photo itself.
    expect(await page.getByLabel(/^Code of tile/).inputValue()).toBe('Kelp');
    await page.getByRole('button', { name: 'Delete this photo' }).click();
    await page.getByRole('heading', { name: 'With a tray sheet' }).waitFor();
    bench.here.complaints.splice(0);
    await page.context().close();
  });
});
