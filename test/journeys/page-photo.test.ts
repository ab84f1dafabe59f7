import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import { pixelOf } from '../../src/core/photo/plane-view.ts';
import type { RecordOf } from '../../src/domain/records/record.ts';
import { NO_BROWSER } from './page.ts';
import { file, leaveOut, photoBench, photoScreen, photosRead, tileRows } from './photo-screen.ts';

const bench = photoBench();

const count = async (kind: 'reading' | 'photo' | 'tile' | 'block') =>
  (await bench.here.client.call('listRecords', { query: { kind, limit: 500 } })).body.total;

/** Where the numbered names of the tiles stand. */
const places = (page: Page) =>
  page
    .locator('.seen-name')
    .evaluateAll((all) =>
      all.map((one) => [
        one.textContent,
        Number(one.getAttribute('x')),
        Number(one.getAttribute('y')),
      ]),
    );

/** The corners of the sheet as they were moved. */
const cornersOf = (page: Page) =>
  page.evaluate(
    () => JSON.parse(localStorage.getItem('kneadwell photo session')!).photos[0].corners,
  );

describe.skipIf(NO_BROWSER !== undefined)(`tiles from a photo (${NO_BROWSER ?? 'browser'})`, () => {
  it('a tray dropped, a corner dragged wrong and put right, a code mended, accepted, found, taken back', async () => {
    const page = await photoScreen(bench.here);
    const data = await page.evaluateHandle((bytes) => {
      const transfer = new DataTransfer();
      const all = Uint8Array.from(atob(bytes), (c) => c.charCodeAt(0));
      transfer.items.add(new File([all], 'tray.jpg', { type: 'image/jpeg' }));
      return transfer;
    }, Buffer.from(bench.tray.bytes).toString('base64'));
    await page.dispatchEvent('.intake', 'drop', { dataTransfer: data });
    await photosRead(page);
    expect(await tileRows(page).count()).toBe(bench.tray.scene.tiles.length);
    await page.getByText(/^Colours from this photo are certain to about \d/).waitFor();
    const good = await places(page);

    const corner = page.getByRole('button', { name: /^Corner 1, top left of the sheet/ });
    await corner.scrollIntoViewIfNeeded();
    const box = (await corner.boundingBox())!;
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x - 60, y - 40, { steps: 4 });
    await page.locator('.glass').waitFor();
    await page.mouse.up();
    await expect.poll(() => places(page)).not.toEqual(good);
    await page.getByRole('button', { name: 'Find the sheet automatically' }).click();
    await expect.poll(() => places(page)).toEqual(good);

    const [one, two, ...others] = bench.tray.scene.tiles.map(({ place }) => place);
    const code = (place: string) => page.getByLabel(`Code of tile ${place}`, { exact: true });
    await code(one).fill('k 7');
    await page.getByText('A new tile of Sea moss.').waitFor();
    await code(two).fill('Klep');
    await page.getByText('Nothing in the book is called Klep.').waitFor();
    await page.getByRole('button', { name: 'Kelp', exact: true }).click();
    await page.getByText('A new tile of Kelp.').waitFor();
    await code(others[0]).fill('N1 = 5 Kelp + 2 Limpet');
    await page.getByText('The book has no Limpet yet.').waitFor();
    await code(others[1]).fill('Limpet');
    await page.getByText('Limpet is a new block').click();
    await page.getByText('A new tile of this recipe, with the new block Limpet.').waitFor();
    for (const place of others.slice(2)) {
      await leaveOut(page, place);
    }
    await page.getByLabel(/^Clay line of the new blocks/).fill('Brindle');

    // Nothing is saved before the user accepts, and nothing is lost by a reload.
    expect([await count('photo'), await count('reading')]).toEqual([0, 0]);
    await page.reload();
    await photosRead(page);
    expect(await code(others[0]).inputValue()).toBe('N1 = 5 Kelp + 2 Limpet');

    await page.getByRole('button', { name: 'Accept 4 tiles' }).click();
    await page.getByRole('heading', { name: '4 tiles saved' }).waitFor();
    const { body } = await bench.here.client.call('listRecords', { query: { kind: 'reading' } });
    const readings = body.records as unknown as readonly RecordOf<'reading'>[];
    expect(readings.length).toBe(4);
    const truths = bench.tray.scene.tiles.map(({ lab }) => lab);
    for (const { body: one } of readings) {
      expect(one).toMatchObject({ readingKind: 'measured', state: 'baked' });
      expect(one.photoId).toBe(readings[0].body.photoId);
      expect(one.region!.width * one.region!.height).toBeGreaterThan(0.001);
      expect(Math.min(...truths.map((lab) => deltaE2000(lab, one.lab!.values)))).toBeLessThan(3);
    }

    await page.getByRole('link', { name: 'Show all tiles' }).click();
    await page.getByRole('heading', { name: 'Tiles', exact: true }).waitFor();
    for (const name of ['K7', 'Kelp', 'N1', 'Limpet']) {
      await page.locator('.tile-cells').getByText(name).first().waitFor();
    }
    await page.locator('.notice').getByRole('button', { name: 'Undo' }).click();
    await page.getByText('Undone: Added 4 tiles from a photo').waitFor();
    expect([await count('photo'), await count('reading'), await count('tile')]).toEqual([0, 0, 0]);
    expect(await count('block')).toBe(2);
    await page.locator('.notice').getByRole('button', { name: 'Redo' }).click();
    await page.getByText('Redone').waitFor();
    expect([await count('photo'), await count('reading'), await count('tile')]).toEqual([1, 4, 4]);
    await page.context().close();
  });

  it('by the keyboard alone: chosen, a corner moved, named, accepted, and told that it drifts', async () => {
    const page = await photoScreen(bench.here);
    const chooser = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Choose photos' }).focus();
    await page.keyboard.press('Enter');
    await (await chooser).setFiles(file('again.jpg', bench.tray.bytes));
    await photosRead(page);
    const good = await places(page);
    const corner = page.getByRole('button', { name: /^Corner 3, bottom right of the sheet/ });
    await corner.focus();
    await page.keyboard.press('Shift+ArrowLeft');
    await page.keyboard.press('Shift+ArrowUp');
    await expect.poll(() => places(page)).not.toEqual(good);
    // It is read again when typing pauses.
    const again = page.waitForRequest(
      (call) => call.method() === 'POST' && call.url().endsWith('/jobs'),
    );
    await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('Shift+ArrowDown');
    await again;
    await photosRead(page);

    const [one, two, ...others] = bench.tray.scene.tiles.map(({ place }) => place);
    // Twice the same tile under two codes of the book: one reads as it did, the other cannot.
    for (const [place, text] of [
      [one, 'K7'],
      [two, 'N1'],
    ] as const) {
      await page.getByLabel(`Code of tile ${place}`, { exact: true }).focus();
      await page.keyboard.type(text);
    }
    await page.getByText('Another reading of the tile K7.').waitFor();
    await page.getByText(/^K7 measures the same as before/).waitFor();
    await page.getByText(/^N1 differs by .* too much for chance/).waitFor();
    for (const place of others) {
      const tick = page.locator(`[data-row="${place}"]`).getByRole('checkbox');
      await tick.focus();
      if (await tick.isChecked()) await page.keyboard.press('Space');
    }
    await page.getByRole('button', { name: 'Accept 2 tiles' }).waitFor();
    // A corner moved a moment ago: Enter waits for the new reading, and does not save the old one.
    let readAgain = () => {};
    const pressed = new Promise<void>((done) => {
      readAgain = done;
    });
    await page.route('**/jobs', async (route) => {
      await pressed;
      await route.continue();
    });
    await corner.focus();
    await page.keyboard.press('ArrowLeft');
    const moved = await cornersOf(page);
    await page.getByLabel(`Code of tile ${two}`, { exact: true }).focus();
    await page.keyboard.press('Enter');
    await page.getByText('The tiles are saved when the reading is done.').waitFor();
    readAgain();
    // N1 is another colour, so a second press is asked for.
    await page.getByRole('button', { name: 'Accept 2 tiles anyway' }).press('Enter');
    await page.getByRole('heading', { name: '2 tiles saved' }).waitFor();
    const { body } = await bench.here.client.call('listRecords', { query: { kind: 'photo' } });
    const saved = body.records.map(({ body }) => JSON.stringify(body));
    expect(saved.some((text) => text.includes(JSON.stringify(moved[2])))).toBe(true);
    await page.context().close();
  });

  it('on a phone of the home network: taken, read rough, tapped, nothing wider than the screen', async () => {
    await bench.here.client.call('setNetwork', { body: { on: true } });
    const { body } = await bench.here.client.call('startPairing', {});
    const context = await bench.here.browser.newContext({
      viewport: { width: 360, height: 740 },
      hasTouch: true,
      isMobile: true,
      reducedMotion: 'reduce',
    });
    const page = await bench.here.open({ context });
    const url = body.urls[0].replace(/#.*$/, '').replace(/\/$/, '');
    await page.goto(url);
    await page.getByLabel('Code').fill(body.code);
    await page.getByLabel('Name of this device').fill('The phone');
    await page.getByRole('button', { name: 'Pair', exact: true }).click();
    await page.getByRole('heading', { name: 'Your studio' }).waitFor();
    // Before it was paired it got that answer.
    expect(bench.here.complaints.splice(0).every((one) => /401|not paired/.test(one))).toBe(true);
    await page.goto(`${url}/tiles/photo`);
    await page.getByRole('button', { name: 'Take a photo' }).waitFor();
    const camera = page.locator('input[capture=environment]');
    await camera.setInputFiles(file('snap.jpg', bench.bare.bytes));
    await photosRead(page);
    await page.getByText(/No chart found in this photo, so its colours are rough/).waitFor();

    await page.getByText('Photo settings').click();
    await page.getByLabel('The tiles are on').selectOption('none');
    // Without a sheet the tiles are found all the same; a tap on one leads to its name.
    await page.getByText(/tiles were found on the table\./).waitFor();
    await photosRead(page);
    // A row is as high as a finger; a doubt of many tiles is said once above them.
    const heights = await tileRows(page).evaluateAll((rows) =>
      rows.map((row) => row.getBoundingClientRect().height),
    );
    expect(heights.reduce((sum, v) => sum + v, 0) / heights.length).toBeLessThan(70);
    const layer = page.getByRole('button', { name: /^Photo\. Tap the middle/ });
    const box = (await layer.boundingBox())!;
    const [tile] = bench.bare.scene.tiles;
    const place = bench.bare.scene.layout.places.find(({ name }) => name === tile.place)!;
    const middle = pixelOf(bench.bare.rendered.view, [
      place.centre[0] + tile.offset[0],
      place.centre[1] + tile.offset[1],
    ]);
    await layer.tap({
      position: {
        x: (middle[0] / bench.bare.rendered.width) * box.width,
        y: (middle[1] / bench.bare.rendered.height) * box.height,
      },
    });
    const named = page.locator('[data-row]:focus-within');
    const name = (await named.getAttribute('data-row'))!;
    await named.getByRole('textbox').fill('Kelp');
    for (const other of await tileRows(page).evaluateAll((rows) =>
      rows.map((row) => row.getAttribute('data-row')!),
    )) {
      if (other !== name) await leaveOut(page, other);
    }
    const over = 'document.documentElement.scrollWidth - document.documentElement.clientWidth';
    expect(await page.evaluate(over)).toBe(0);
    await page.getByText('A new tile of Kelp.').waitFor();
    await page.getByRole('button', { name: 'Accept 1 tile' }).click();
    await page.getByRole('button', { name: 'Accept 1 tile anyway' }).click();
    await page.getByRole('heading', { name: '1 tile saved' }).waitFor();
    const { body: list } = await bench.here.client.call('listRecords', {
      query: { kind: 'reading', sort: 'created', descending: 'true', limit: 1 },
    });
    const [newest] = list.records as unknown as readonly RecordOf<'reading'>[];
    expect(newest.body).toMatchObject({ readingKind: 'rough' });
    expect(newest.body.spread).toBeGreaterThanOrEqual(3);
    await page.context().close();
  });
});
