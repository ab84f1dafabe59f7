import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { NO_BROWSER, type PageHere, pageHere } from './page.ts';
import { file } from './photo-screen.ts';

// What fingers do by mistake: press twice, forget a button, choose the wrong file.

let here: PageHere;
const put = (kind: string, id: string, body: unknown) => ({ do: 'put', kind, id, body });
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  here = await pageHere();
  const block = (name: string) => ({
    lineId: 'salt',
    name,
    clayType: 'opaque',
    status: 'current',
  });
  const parts = [
    { of: { kind: 'block', id: 'kelp' }, parts: 2 },
    { of: { kind: 'block', id: 'foam' }, parts: 1 },
  ];
  const note = `See https://example.org/${'tide-pool-'.repeat(30)}`;
  const steps = [
    put('line', 'salt', { name: 'Saltmarsh', status: 'current' }),
    put('block', 'kelp', block('Kelp')),
    put('block', 'foam', block('Foam')),
    put('mix', 'moss', {
      code: 'K7',
      name: 'Sea moss',
      basis: 'volume',
      status: 'saved',
      parts,
      note,
    }),
  ];
  await here.client.call('makeChange', { body: { what: 'Began', steps: steps as never } });
});
afterAll(async () => {
  await here?.end();
});
afterEach(() => {
  expect(here?.complaints.splice(0) ?? []).toEqual([]);
});

const count = async (kind: 'tile' | 'reading' | 'wish') =>
  (await here.client.call('listRecords', { query: { kind, limit: 100 } })).body.total;

async function tileOf(page: Page, clay: string) {
  await page.goto(`${here.run.server.url}/tiles`);
  await page.getByRole('button', { name: 'Add a tile', exact: true }).click();
  await page.getByRole('dialog').getByRole('button', { name: clay }).click();
  const dialog = page.getByRole('dialog', { name: `Tile of ${clay}` });
  await dialog.waitFor();
  return dialog;
}

describe.skipIf(NO_BROWSER !== undefined)(`slips of the hand (${NO_BROWSER ?? 'browser'})`, () => {
  it('saves one tile when Save is pressed twice, with the colour typed last', async () => {
    const page = await here.open({ width: 390, height: 844 });
    const dialog = await tileOf(page, 'Kelp');
    await dialog.getByRole('slider').first().fill('45');
    await dialog.getByRole('radio', { name: 'By numbers' }).click();
    // Without a press of "Use this colour".
    await dialog.getByLabel('Colour', { exact: true }).fill('35,5 -23 21');
    await dialog.getByRole('button', { name: 'Save reading' }).dblclick();
    await dialog.waitFor({ state: 'detached' });
    expect([await count('tile'), await count('reading')]).toEqual([1, 1]);
    const { body } = await here.client.call('listRecords', { query: { kind: 'reading' } });
    expect(body.records[0].body).toMatchObject({ lab: { values: [35.5, -23, 21] } });
    await page.context().close();
  });

  it('uses a typed colour for the wish list, and saves nothing before Save', async () => {
    const page = await here.open();
    await page.goto(`${here.run.server.url}/wishes`);
    await page.getByRole('button', { name: 'Add a colour' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByRole('radio', { name: 'By numbers' }).click();
    const colour = dialog.getByLabel('Colour', { exact: true });
    await colour.fill('very green');
    await colour.press('Enter');
    await dialog.getByText(/^Type #8a3b2c/).waitFor();
    await colour.fill('#8a9b6c');
    await dialog.getByRole('button', { name: 'Use this colour' }).click();
    expect(await count('wish')).toBe(0);
    await dialog.getByRole('button', { name: 'Save', exact: true }).click();
    await dialog.waitFor({ state: 'detached' });
    expect(await count('wish')).toBe(1);
    await page.context().close();
  });

  it('keeps a long web address in a note within a phone', async () => {
    const page = await here.open({ width: 390, height: 844 });
    await page.goto(`${here.run.server.url}/book/moss`);
    await page.getByText('https://example.org/').first().waitFor();
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(390);
    await page.context().close();
  });

  it('opens sharing without a mix, and asks the book for no record without a name', async () => {
    const page = await here.open();
    await page.goto(`${here.run.server.url}/share`);
    await page.getByLabel('Your name').fill('Wren');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByRole('heading', { name: 'For another Kneadwell' }).waitFor();
    await page.getByText('Their colours:').waitFor();
    await page.context().close();
  });

  it('counts nothing left of a block', async () => {
    const page = await here.open();
    await page.goto(`${here.run.server.url}/stock?block=kelp`);
    const dialog = page.getByRole('dialog');
    await dialog.getByLabel('Grams').fill('0');
    await dialog.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText('Counted 0 g of Kelp').waitFor();
    await page.context().close();
  });

  it('adds no twin block when a colour is used twice, and hears the next press on a slow phone', async () => {
    // Slow: the second tap falls on the button when that cannot be pressed any more.
    const page = await here.open({ width: 390, height: 844, slowed: 6 });
    await page.goto(here.run.server.url);
    await page.getByRole('button', { name: 'Add a block by eye' }).click();
    await page.getByRole('button', { name: 'Use this colour' }).dblclick();
    await page.getByText('One block added.').waitFor();
    await page.getByRole('slider').first().fill('20');
    await page.getByRole('button', { name: 'Use this colour' }).click();
    await page.getByText('2 blocks added.').waitFor();
    await page.context().close();
  });

  it('says what is wrong with a file that is no photo, and opens one that the browser cannot', async () => {
    const page = await here.open({ width: 390, height: 844 });
    await page.goto(here.run.server.url);
    await page.getByRole('button', { name: 'Add blocks from a picture' }).click();
    const choose = page.locator('input[type=file]').last();
    const ask = page.getByText('Now tap a block in the photo.');
    for (const [name, bytes, type] of [
      ['scan.jpg', '%PDF-1.4', 'image/jpeg'],
      ['recipe.txt', 'five Kelp', 'text/plain'],
    ] as const) {
      await choose.setInputFiles(file(name, bytes, type));
      await page.getByText(/is no JPEG/).waitFor();
      expect(await ask.count()).toBe(0);
      expect(here.complaints.splice(0).every((said) => said.includes('400'))).toBe(true);
      await choose.setInputFiles(file('ramp.png', await pngOfOne(), 'image/png'));
      await ask.waitFor();
    }
    const heic = readFileSync(new URL('../oracles/photo/ramp.heic', import.meta.url));
    await choose.setInputFiles(file('ramp.heic', heic, 'image/heic'));
    await page.getByRole('button', { name: /^Photo of your blocks/ }).waitFor();
    await ask.waitFor();
    await page.getByRole('button', { name: /^Photo of your blocks/ }).click();
    await page.getByText('One block added.').waitFor();
    await page.context().close();
  });
});

async function pngOfOne(): Promise<Buffer> {
  const { default: sharp } = await import('sharp');
  const background = { r: 120, g: 140, b: 90 };
  return sharp({ create: { width: 200, height: 150, channels: 3, background } })
    .png()
    .toBuffer();
}
