import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { NO_BROWSER, type PageHere, pageHere } from './page.ts';

let here: PageHere;
beforeAll(async () => {
  if (NO_BROWSER === undefined) here = await pageHere();
});
afterAll(async () => {
  await here?.end();
});

// One book goes through all of it, in this order.
describe.skipIf(NO_BROWSER !== undefined)(`the studio (${NO_BROWSER ?? 'browser'})`, () => {
  const counts = async (kind: string) => {
    const { body } = await here.client.call('countRecords', {});
    return body.counts.find((one) => one.kind === kind)?.live ?? 0;
  };

  it('lets the demo into an empty book, and leads to a first recipe', async () => {
    const page = await here.open();
    await page.goto(here.run.server.url);
    await page.getByRole('button', { name: 'Look round in the demo studio' }).click();
    await page.getByRole('heading', { name: 'Demo studio' }).waitFor();
    await expect.poll(() => counts('clay-model')).toBe(1);
    await page.getByRole('link', { name: 'Find a recipe' }).click();
    await page.getByRole('radio', { name: 'By numbers' }).click();
    await page.getByLabel('Colour', { exact: true }).fill('#8a9b6c');
    await page.getByRole('button', { name: 'Use this colour' }).click();
    await page.locator('.recipe').first().waitFor();
    await page.context().close();
  });

  it('names the tile to bake next, and takes its reading once it is baked', async () => {
    const page = await here.open();
    const tiles = await counts('tile');
    await page.goto(`${here.run.server.url}/tiles`);
    const read = page.getByRole('button', { name: /^Baked\? Read it/ }).first();
    await read.waitFor();
    await read.click();
    const sheet = page.getByRole('dialog');
    await sheet.getByRole('radio', { name: 'By numbers' }).click();
    await sheet.getByLabel('Colour', { exact: true }).fill('#7d9a6b');
    await sheet.getByRole('button', { name: 'Use this colour' }).click();
    await sheet.getByRole('button', { name: 'Save reading' }).click();
    await sheet.waitFor({ state: 'detached' });
    expect(await counts('tile')).toBe(tiles + 1);
    await page.goto(`${here.run.server.url}/learn`);
    await page.getByText('1 new reading since then').waitFor();
    await page.getByRole('heading', { name: 'Least certain clays' }).waitFor();
    await page.context().close();
  });

  it('counts, buys and moves clay, and takes three changes back', async () => {
    const page = await here.open();
    await page.goto(`${here.run.server.url}/stock`);
    await page.getByText('About Saltmarsh').click();
    await page.getByText(/^Saltmarsh (?:lightens|darkens|hardly)/).waitFor();
    await page.getByRole('button', { name: /S08 Kelp/ }).click();
    const sheet = page.getByRole('dialog');
    await sheet.getByLabel('How much').fill('12,5');
    await sheet.getByRole('button', { name: 'Save', exact: true }).click();
    await sheet.getByText('13 g, running low').waitFor();
    await sheet.getByRole('button', { name: 'Add a purchase' }).click();
    await sheet.getByLabel(/^Total price/).fill('much');
    await sheet.getByRole('button', { name: 'Save purchase' }).click();
    await sheet.getByText('Type a price such as 4.10, or leave the field empty.').waitFor();
    await sheet.getByLabel(/^Total price/).fill('3,60');
    await sheet.getByRole('button', { name: 'Save purchase' }).click();
    await sheet.getByRole('button', { name: 'Add a purchase' }).waitFor();
    await page.keyboard.press('Escape');
    await page.getByRole('link', { name: 'Boxes' }).click();
    await page.getByRole('button', { name: 'Open Tin 3: greens and blues' }).click();
    await sheet.getByLabel('Move Kelp to').selectOption({ label: 'to Tin 1: whites and greys' });
    await sheet.getByLabel('Move Kelp to').waitFor({ state: 'detached' });
    await page.keyboard.press('Escape');
    const boxOf = async () => {
      const { body } = await here.client.call('listRecords', { query: { kind: 'box' } });
      return body.records.flatMap((record) =>
        record.kind === 'box' && record.body.holds.some(({ of }) => of.id === 'kelp')
          ? [record.body.lid]
          : [],
      );
    };
    expect(await boxOf()).toEqual(['Tin 1: whites and greys']);
    const lots = await counts('purchase');
    for (const what of ['Moved Kelp', 'Bought 1 package', 'Counted 13 g']) {
      await page.keyboard.press('Control+z');
      await page.getByText(`Undone: ${what}`).waitFor();
    }
    expect(await boxOf()).toEqual(['Tin 3: greens and blues']);
    expect(await counts('purchase')).toBe(lots - 1);
    await page.context().close();
  });

  it('backs up, loses a line, and puts it back from the file, told to another page as well', async () => {
    const page = await here.open();
    const other = await here.open();
    await page.goto(`${here.run.server.url}/settings/backups`);
    await page.getByRole('button', { name: 'Make a backup now' }).click();
    const link = page.getByRole('link', { name: /^Download the backup/ }).first();
    await link.waitFor();
    const [download] = await Promise.all([page.waitForEvent('download'), link.click()]);
    const zip = readFileSync((await download.path())!);
    await here.client.call('clearDemoOut', {});
    expect(await counts('block')).toBe(0);
    await other.goto(`${here.run.server.url}/stock`);
    await other.getByRole('heading', { name: 'No blocks yet' }).waitFor();

    await page
      .locator('input[type=file]')
      .first()
      .setInputFiles({
        name: 'not-one.zip',
        mimeType: 'application/zip',
        buffer: Buffer.from('nothing of the sort'),
      });
    await page.getByText(/^not-one\.zip is no backup/).waitFor();
    await page.locator('input[type=file]').first().setInputFiles({
      name: 'home.zip',
      mimeType: 'application/zip',
      buffer: zip,
    });
    await page.getByText('You would lose 1 change made since this backup').waitFor();
    await page.getByRole('button', { name: 'Restore this backup' }).click();
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    expect(await counts('block')).toBe(50);
    // The other page shows the book that lies there now, by itself.
    await other.getByRole('heading', { name: 'Stock' }).waitFor();
    await other.getByText('Saltmarsh').first().waitFor();
    await page.context().close();
    await other.context().close();
  });

  it('looks at a file before it is taken in, and says whether all is well', async () => {
    const page = await here.open();
    await page.goto(`${here.run.server.url}/settings/files`);
    const { body } = await here.client.call('exportBook', { query: { as: 'json' } });
    await page
      .locator('input[type=file]')
      .first()
      .setInputFiles({
        name: 'book.json',
        mimeType: 'application/json',
        buffer: Buffer.from(body as unknown as Uint8Array),
      });
    await page.getByRole('button', { name: 'Preview' }).click();
    await page.getByText(/: 0 new, \d+ already there, 0 different/).waitFor();
    await page.getByRole('button', { name: 'Cancel' }).click();
    await page.getByRole('link', { name: 'Check', exact: true }).click();
    await page.getByRole('button', { name: 'Check now' }).click();
    await page.getByText(/^(?:Everything is fine|Please check:)/).waitFor();
    await page.context().close();
    expect(here.complaints.filter((text) => !/ERR_|status of (?:400|503)/.test(text))).toEqual([]);
  });
});
