import type { Locator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import {
  launched,
  learnTidePool,
  NO_BROWSER,
  type PageHere,
  pageHere,
  pictureOf,
  tidePool,
  WAIT_MS,
} from './page.ts';

// What once made newcomers hesitate.

let here: PageHere;
beforeAll(async () => {
  if (NO_BROWSER === undefined) here = await pageHere();
});
afterAll(async () => {
  await here?.end();
});
afterEach(() => {
  expect(here?.complaints.splice(0) ?? []).toEqual([]);
});

const BLOCKS = [
  [238, 240, 232],
  [52, 92, 50],
  [196, 128, 62],
] as const;

async function chosen(page: Page): Promise<{ tap: (block: number) => Promise<void> }> {
  const { png, middles } = await pictureOf(BLOCKS);
  await page
    .locator('input[type=file]')
    .setInputFiles({ name: 'blocks.png', mimeType: 'image/png', buffer: png });
  const picture = page.getByRole('button', { name: /^Photo of your blocks/ });
  await picture.waitFor();
  await page.waitForFunction('document.querySelector(".picture canvas")?.width > 300');
  const box = (await picture.boundingBox())!;
  return {
    tap: (block) => {
      const [x, y] = middles[block];
      return picture.click({ position: { x: x * box.width, y: y * box.height } });
    },
  };
}

/** How much of it can be seen, 0-1. */
async function inSight(what: Locator): Promise<number> {
  return what.evaluate(
    (element) =>
      new Promise<number>((tell) => {
        const watch = new IntersectionObserver(([seen]) => {
          watch.disconnect();
          tell(seen.intersectionRatio);
        });
        watch.observe(element);
      }),
  );
}

const mixCalled = (name: string) => ({
  do: 'put',
  kind: 'mix',
  body: {
    name,
    basis: 'volume',
    status: 'saved',
    parts: [{ of: { kind: 'block', id: 'kelp' }, parts: 1 }],
  },
});

const count = async (kind: 'block' | 'reading') =>
  (await here.client.call('listRecords', { query: { kind, limit: 100 } })).body.total;

describe.skipIf(NO_BROWSER !== undefined)(`a newcomer (${NO_BROWSER ?? 'browser'})`, () => {
  it('closes the page while naming blocks and goes on; presses twice and keeps once', async () => {
    const page = await here.open();
    await page.goto(here.run.server.url);
    await page.getByRole('button', { name: 'Photograph your blocks' }).click();
    const { tap } = await chosen(page);
    await tap(0);
    await page.getByLabel('Name of block 1').fill('Foam');
    await tap(0);
    await tap(1);
    await page.getByLabel('Name of block 2').fill('Kelp '.repeat(50));
    expect(await page.getByLabel(/^Name of block/).count()).toBe(2);

    await page.reload();
    await page.getByText('You have 2 blocks that you did not save yet').waitFor();
    expect(await count('block')).toBe(0);
    await page.getByRole('button', { name: 'Continue' }).click();
    expect(await page.getByLabel('Name of block 1').inputValue()).toBe('Foam');
    await page.getByText(/^The photo of some blocks is no longer open/).waitFor();

    await page.getByRole('button', { name: 'Save these 2 blocks' }).click();
    await page.getByText('Please check “name”: it should be at most').waitFor();
    // The browser itself notes the answer 400.
    expect(here.complaints.splice(0).every((said) => said.includes('400'))).toBe(true);
    await page.getByLabel('Name of block 2').fill('Kelp <script>');

    // A picture chosen again is known again where it is the same file; here it is another one.
    await (await chosen(page)).tap(2);
    await page.getByLabel('Name of block 3').fill('Limpet');
    await page.getByLabel('Name of block 3').press('Enter');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Your studio' }).waitFor();
    expect([await count('block'), await count('reading')]).toEqual([3, 3]);
    expect(await page.getByText('that you did not save yet').count()).toBe(0);
    const { body } = await here.client.call('listRecords', { query: { kind: 'reading' } });
    const from = body.records.map((record) =>
      record.kind !== 'reading'
        ? ''
        : record.body.photoId === undefined
          ? record.body.source
          : 'kept',
    );
    expect(from.toSorted()).toEqual(['blocks.png', 'blocks.png', 'kept']);
    await page.reload();
    await page.getByRole('link', { name: 'Find a recipe' }).waitFor();
    expect(await page.getByText('that you did not save yet').count()).toBe(0);
    await page.context().close();
  });

  it('begins with a colour to move, and a card brings its recipe onto the bench', async () => {
    await tidePool(here.client);
    await learnTidePool(here.client);
    const page = await here.open({ height: 700 });
    await page.goto(`${here.run.server.url}/find`);
    const recipe = page.locator('.recipe').nth(3);
    await recipe.waitFor();
    await page.getByText(/^All .* recipes checked/).waitFor();
    const pair = page.locator('.find-bench .layer-colour').first();
    await recipe.scrollIntoViewIfNeeded();
    await page.evaluate('window.scrollTo(0, document.body.scrollHeight)');
    expect(await inSight(pair)).toBe(0);
    await recipe.getByRole('button', { name: /^Show / }).click();
    await expect.poll(() => inSight(pair)).toBe(1);
    await expect.poll(() => recipe.getByRole('button').getAttribute('aria-pressed')).toBe('true');
    await page.context().close();
  });

  it('names blocks on a phone, told what was tapped, and begins at the top of what comes next', async () => {
    const page = await here.open({ width: 360, height: 740 });
    await page.goto(here.run.server.url);
    await page.getByRole('button', { name: 'Add blocks from a picture' }).click();
    const { tap } = await chosen(page);
    await tap(0);
    const said = page.getByText('One block added. Name them below.');
    await expect.poll(() => inSight(said)).toBe(1);
    const sort = (await page.getByLabel('Type of clay').boundingBox())!;
    expect(sort.width).toBeGreaterThan(120);
    await page.getByLabel('Name of block 1').fill('Barnacle');
    await page.getByRole('button', { name: 'Save this block' }).scrollIntoViewIfNeeded();
    await page.getByRole('button', { name: 'Save this block' }).click();
    await page.getByRole('heading', { name: 'Your studio' }).waitFor();
    await expect.poll(() => page.evaluate('window.scrollY')).toBe(0);
    await page.context().close();
  });

  it('goes to and fro by address and back button more often than a browser has connections', async () => {
    // Tests run without the cache of the back button unless asked; browsers of people have it.
    const browser = await launched([], ['--disable-back-forward-cache']);
    try {
      const page = await browser.newPage();
      page.setDefaultTimeout(WAIT_MS);
      const heading = page.getByRole('heading', { level: 1 });
      for (let i = 0; i < 8; i++) {
        // The program tells what changes over a connection that stays.
        const connected = page.waitForResponse((answer) => answer.url().includes('/events'));
        await page.goto(`${here.run.server.url}/${i % 2 === 0 ? 'book' : 'stock'}`);
        await heading.filter({ hasText: i % 2 === 0 ? 'Mix book' : 'Stock' }).waitFor();
        await connected;
      }
      await page.evaluate('history.back()');
      await heading.filter({ hasText: 'Mix book' }).waitFor();
      // Left and come back to, it hears again of what others change.
      const body = { what: 'Named', steps: [mixCalled('after the back button')] as never };
      await here.client.call('makeChange', { body });
      await page.getByText('after the back button').waitFor();
    } finally {
      await browser.close();
    }
  });

  it('shows aim, prediction, pieces, verdict and Save on a phone while a slider moves', async () => {
    const page = await here.open({ width: 390, height: 844 });
    await page.goto(`${here.run.server.url}/find`);
    await page.locator('.recipe').first().waitFor();
    const hue = page.locator('.way-track').nth(2);
    await hue.click({ position: { x: 60, y: 10 } });
    for (const seen of [
      page.locator('.find-bench .layer-colour').first(),
      page.locator('.find-bench .layer-colour').nth(1),
      page.locator('.find-bench .pieces-bar'),
      page.locator('.verdict-head'),
      page.getByRole('button', { name: 'Save this mix' }),
      page.getByRole('slider', { name: 'Hue' }).locator('xpath=ancestor::*[@class="way-track"]'),
    ]) {
      await expect.poll(() => inSight(seen)).toBeGreaterThan(0.9);
    }
    await page.context().close();
  });

  it('shows a dialog at once on a phone, and no keyboard before a field is pressed', async () => {
    const context = await here.browser.newContext({
      viewport: { width: 390, height: 844 },
      hasTouch: true,
      reducedMotion: 'reduce',
    });
    const page = await here.open({ context });
    await page.goto(`${here.run.server.url}/find`);
    await page.locator('.recipe').first().waitFor();
    await page.getByRole('button', { name: 'Save this mix' }).tap();
    await page.getByRole('dialog', { name: 'Save this mix' }).waitFor();
    const seen = await page.evaluate(
      `[getComputedStyle(document.querySelector('.veil')).opacity, document.activeElement.tagName]`,
    );
    expect(seen).toEqual(['1', 'SECTION']);
    await context.close();
  });

  it('reaches every place on a phone held on its side', async () => {
    const page = await here.open({ width: 740, height: 360 });
    await page.goto(`${here.run.server.url}/find`);
    const settings = page.getByRole('link', { name: 'Settings' });
    await expect.poll(() => inSight(settings)).toBe(1);
    await page.context().close();
  });
});
