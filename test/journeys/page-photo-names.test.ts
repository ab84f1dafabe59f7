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

const put = (kind: string, id: string, body: unknown) => ({ do: 'put', kind, id, body });
const nameOf = (place: string) => `Pebble ${place}`;

/** A block of every tile's colour, as its maker shows it. */
async function blocksOfTray(): Promise<void> {
  const steps = bench.tray.scene.tiles.flatMap(({ place, lab }) => [
    put('block', `pebble-${place}`, {
      lineId: 'salt',
      name: nameOf(place),
      clayType: 'opaque',
      status: 'current',
    }),
    put('reading', `seen-${place}`, {
      of: { kind: 'block', id: `pebble-${place}` },
      readingKind: 'measured',
      state: 'baked',
      lab: { values: [...lab], light: 'D50', observer: 2 },
      spread: 0.5,
      geometry: 'excluded',
    }),
  ]);
  await bench.here.client.call('makeChange', {
    body: { what: 'Knew blocks', steps: steps as never },
  });
}

const code = (page: Page, place: string) =>
  page.getByLabel(`Code of tile ${place}`, { exact: true });

describe.skipIf(NO_BROWSER !== undefined)(`names of tiles (${NO_BROWSER ?? 'browser'})`, () => {
  it('one too early after one was left out: offered, moved, asked about, saved, learned from', async () => {
    await blocksOfTray();
    const page = await photoScreen(bench.here);
    await photoInput(page).setInputFiles(file('tray.jpg', bench.tray.bytes));
    await photosRead(page);
    const places = bench.tray.scene.tiles.map(({ place }) => place);
    // In the order of the tray, whatever is doubtful.
    expect(
      await tileRows(page).evaluateAll((rows) => rows.map((row) => row.getAttribute('data-row'))),
    ).toEqual(places);
    for (const place of places) {
      if (!(await page.locator(`[data-row="${place}"]`).getByRole('checkbox').isChecked()))
        await page.locator(`[data-row="${place}"] .tick`).click();
    }
    // Typed one after the other, each with Enter; the name of the third tile was forgotten.
    await code(page, places[0]).focus();
    const typed = places.filter((_, i) => i !== 2).map(nameOf);
    for (const name of typed) {
      await page.keyboard.type(name);
      await page.keyboard.press('Enter');
    }
    await page
      .getByText(/^From tile \d+ on, each name seems to belong to the next tile\./)
      .waitFor();
    await page
      .getByText(/^This is \d+ away from Pebble/)
      .first()
      .waitFor();
    await page.getByRole('button', { name: 'Move the names by one' }).click();
    const texts = () => Promise.all(places.map((place) => code(page, place).inputValue()));
    const moved = places.map((place, i) => (i === 2 ? '' : nameOf(place)));
    // Where two neighbours are alike, either may be the one without a name.
    expect((await texts()).filter((text, i) => text !== moved[i]).length).toBeLessThanOrEqual(2);
    await page.getByRole('button', { name: 'Put the names back' }).click();
    expect(await texts()).toEqual([...typed, '']);
    await page.getByRole('button', { name: 'Move the names by one' }).click();
    await page.getByRole('button', { name: 'They are right now' }).click();

    // A wrong name is asked about, beside both colours, and may be confirmed.
    for (const [i, place] of places.entries()) await code(page, place).fill(nameOf(places[i]));
    const [, yellow] = places;
    // Enter at once, before the name is compared with the colour, saves nothing either.
    await code(page, yellow).fill(nameOf(places.at(-1)!));
    await page.keyboard.press('Enter');
    await page.getByText(/^One name is far from the colour of its tile\./).waitFor();
    await page.getByRole('button', { name: `Accept ${places.length} tiles anyway` }).waitFor();
    await page.keyboard.press('Enter');
    await page.getByText(/^One name is far from the colour of its tile\./).waitFor();
    const row = page.locator(`[data-row="${yellow}"]`);
    await row.getByText(/^This is \d+ away from Pebble/).waitFor();
    await row.getByRole('button', { name: 'Leave out' }).click();
    await row.getByText('Left out', { exact: true }).waitFor();
    await row.locator('.tick').click();
    await row.getByRole('button', { name: 'Yes' }).click();
    await row.getByRole('button', { name: 'Details' }).waitFor();

    await page.getByRole('button', { name: `Accept ${places.length} tiles` }).click();
    await page.getByRole('heading', { name: `${places.length} tiles saved` }).waitFor();
    const { body } = await bench.here.client.call('listRecords', {
      query: { kind: 'reading', limit: 100 },
    });
    const checked = body.records.filter(
      (one) => 'checked' in one.body && one.body.checked === true,
    );
    expect(checked).toHaveLength(1);
    await page
      .getByText(/from what was predicted/)
      .first()
      .waitFor();
    await page.getByRole('button', { name: 'Update the model' }).click();
    await page.getByRole('heading', { name: 'The clay model is updated' }).waitFor();
    const { body: models } = await bench.here.client.call('listRecords', {
      query: { kind: 'clay-model' },
    });
    expect(models.total).toBe(1);
    await page.context().close();
  });

  it('typed once for raw tiles stand beside the baked ones of the same places', async () => {
    const page = await photoScreen(bench.here);
    const [one, two, ...others] = bench.tray.scene.tiles.map(({ place }) => place);
    const shown = async () => {
      await photoInput(page).setInputFiles(file('tray.jpg', bench.tray.bytes));
      await photosRead(page);
    };
    await shown();
    await page.getByRole('radio', { name: 'Raw', exact: true }).first().click();
    await code(page, one).fill('2 Kelp + 1 Foam');
    await code(page, two).fill('Foam');
    for (const place of others) await leaveOut(page, place);
    await page.getByText('A new tile of this recipe').waitFor();
    await page.getByRole('button', { name: 'Accept 2 tiles' }).click();
    await page.getByRole('heading', { name: '2 tiles saved' }).waitFor();
    const tiles = async () =>
      (await bench.here.client.call('listRecords', { query: { kind: 'tile' } })).body.total;
    const before = await tiles();
    await page.getByRole('button', { name: 'Add another photo' }).click();
    await shown();
    expect(await code(page, one).inputValue()).toBe('2 Kelp + 1 Foam');
    expect(await code(page, two).inputValue()).toBe('Foam');
    for (const place of others) await leaveOut(page, place);
    await expect.poll(() => page.getByText(/baked from now on/).count()).toBe(2);
    await page.getByRole('button', { name: 'Accept 2 tiles' }).click();
    await page.getByRole('heading', { name: '2 tiles saved' }).waitFor();
    expect(await tiles()).toBe(before);
    await page.context().close();
  });

  it('a tap on a tile leads to its name; enlarged, the photo shows the tile that is named', async () => {
    const page = await photoScreen(bench.here);
    await photoInput(page).setInputFiles(file('tray.jpg', bench.tray.bytes));
    await photosRead(page);
    const places = bench.tray.scene.tiles.map(({ place }) => place);
    const last = places.at(-1)!;
    const label = page.locator('.seen-name', { hasText: new RegExp(`^${last}$`) });
    const outline = (await label.locator('xpath=../*[1]').boundingBox())!;
    await page.mouse.click(outline.x + outline.width / 2, outline.y + outline.height / 2);
    await expect
      .poll(() => code(page, last).evaluate((field) => field === document.activeElement))
      .toBe(true);
    expect(await tileRows(page).count()).toBe(places.length);
    await page.getByRole('button', { name: 'Larger' }).click();
    await page.getByRole('button', { name: 'Larger' }).click();
    for (const place of [places[0], last]) {
      await code(page, place).focus();
      const inSight = () =>
        page.locator('[data-looked-at]').evaluate((group) => {
          const frame = group.closest('.shot-frame')!.getBoundingClientRect();
          const box = group.querySelector('path')!.getBoundingClientRect();
          const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
          return x > frame.left && x < frame.right && y > frame.top && y < frame.bottom;
        });
      await expect.poll(inSight).toBe(true);
    }
    await page.context().close();
  });
});
