import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import type { RecordOf } from '../../src/domain/records/record.ts';
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

/** The first tile of the tray is taken in as K7, the second as Kelp. */
async function accepted(page: Page): Promise<void> {
  await photoInput(page).setInputFiles(file('tray.jpg', bench.tray.bytes));
  await photosRead(page);
  const [one, two, ...others] = bench.tray.scene.tiles.map(({ place }) => place);
  await page.getByLabel(`Code of tile ${one}`, { exact: true }).fill('K7');
  await page.getByLabel(`Code of tile ${two}`, { exact: true }).fill('Kelp');
  for (const place of others) await leaveOut(page, place);
  await page.getByText('A new tile of Kelp.').waitFor();
  await page.getByRole('button', { name: 'Accept 2 tiles' }).click();
  await page.getByRole('heading', { name: '2 tiles saved' }).waitFor();
}

const readings = async () =>
  (await bench.here.client.call('listRecords', { query: { kind: 'reading', sort: 'created' } }))
    .body.records as unknown as readonly RecordOf<'reading'>[];
const labs = async () => (await readings()).map(({ body }) => body.lab!.values);

describe.skipIf(NO_BROWSER !== undefined)(`a kept photo (${NO_BROWSER ?? 'browser'})`, () => {
  it('is found from its tile, read by another chart, compared, taken, and taken back', async () => {
    const page = await photoScreen(bench.here);
    await accepted(page);
    const before = await labs();
    await page.getByRole('link', { name: 'Show all tiles' }).click();
    await page.getByRole('link', { name: /^K7/ }).click();
    await page.getByRole('link', { name: 'Show in photo' }).click();
    await page.getByRole('heading', { name: 'tray.jpg' }).waitFor();
    await page.locator('.seen-name', { hasText: 'K7' }).waitFor();
    expect(await page.locator('.seen-name').count()).toBe(2);

    await page.getByRole('button', { name: 'Read again' }).click();
    await page.getByRole('button', { name: 'Accept 2 new readings' }).waitFor();
    expect(await page.getByText('Same as the saved reading (within 0.3 dE00).').count()).toBe(2);
    // Nothing is kept of looking.
    await page.getByRole('button', { name: 'Cancel' }).click();
    expect(await labs()).toEqual(before);

    await page.getByLabel('Chart of 24 patches').selectOption('before 2014');
    await page
      .getByText(/Compared with the saved reading/)
      .first()
      .waitFor();
    await page.locator('[data-of=Kelp]').getByText('Skip').click();
    await page.getByRole('button', { name: 'Accept 1 new reading' }).click();
    await page.getByText(/^1 reading changed\. You can undo this/).waitFor();
    const after = await labs();
    expect(after.filter((lab, i) => `${lab}` !== `${before[i]}`).length).toBe(1);
    const { body } = await bench.here.client.call('listRecords', { query: { kind: 'photo' } });
    const [photo] = body.records as unknown as readonly RecordOf<'photo'>[];
    expect(photo.body.readAs).toMatchObject({ chart: 'before 2014' });

    const row = page.locator('[data-of=K7]');
    await row.getByText('History').click();
    await row.getByText('Read 1 tile of tray.jpg again').waitFor();
    await row.getByText('Added 2 tiles from a photo').waitFor();
    await page.locator('.notice').getByRole('button', { name: 'Undo' }).click();
    await page.getByText('Undone: Read 1 tile of tray.jpg again').waitFor();
    expect(await labs()).toEqual(before);
    await page.context().close();
  });

  it('has its corners moved by key, and says what is not found any more', async () => {
    const [{ body }] = await readings();
    const page = await bench.here.open({ width: 360, height: 740 });
    await page.goto(`${bench.here.run.server.url}/photos/${body.photoId}`);
    await page.getByRole('button', { name: 'Read again' }).click();
    await page.getByRole('button', { name: 'Accept 2 new readings' }).waitFor();
    const corner = page.getByRole('button', { name: /^Corner 3, bottom right of the sheet/ });
    await corner.focus();
    await page.keyboard.press('Shift+ArrowLeft');
    await page.getByRole('button', { name: 'Find the sheet automatically' }).waitFor();
    await photosRead(page);
    expect(await tileRows(page).count()).toBe(2);
    const over = 'document.documentElement.scrollWidth - document.documentElement.clientWidth';
    expect(await page.evaluate(over)).toBe(0);
    await page.getByRole('button', { name: 'Find the sheet automatically' }).click();
    await expect
      .poll(() => page.getByText('Same as the saved reading (within 0.3 dE00).').count())
      .toBe(2);

    const kept = await bench.here.client.call('getRecord', { params: { id: body.photoId! } });
    const steps = [...(await readings()), kept.body].map(({ id, version }) => ({
      do: 'delete' as const,
      id,
      version,
    }));
    await bench.here.client.call('makeChange', { body: { what: 'Threw it away', steps } });
    await page.reload();
    await page.getByRole('heading', { name: 'This photo is no longer in the book' }).waitFor();
    await page.context().close();
  });
});
