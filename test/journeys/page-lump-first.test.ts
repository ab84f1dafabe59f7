import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ofKind } from '../../src/domain/records/of-kind.ts';
import { NO_BROWSER, type PageHere, pageHere } from './page.ts';
import { settled } from './screens.ts';

// At the table with clay on the fingers: a phone, and a book that was empty a minute ago.

let here: PageHere;
let page: Page;
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  here = await pageHere();
  const context = await here.browser.newContext({
    viewport: { width: 390, height: 844 },
    hasTouch: true,
    reducedMotion: 'reduce',
  });
  page = await here.open({ context });
});
afterAll(async () => {
  await here?.end();
});

const url = (path: string) => `${here.run.server.url}${path}`;
const button = (name: string | RegExp) => page.getByRole('button', { name }).first();

/** Moves a slider with one tap; `to` from 0, left, to 1. */
async function slide(among: Locator, track: 0 | 1 | 2, to: number): Promise<void> {
  const slider = among.locator('.way-track').nth(track);
  await slider.scrollIntoViewIfNeeded();
  const { width, height } = (await slider.boundingBox())!;
  await slider.tap({ position: { x: 2 + to * (width - 4), y: height / 2 } });
}

const recordsOf = async (kind: 'mix' | 'block') =>
  (await here.client.call('listRecords', { query: { kind, limit: 500 } })).body.records;
const mixes = async () => ofKind(await recordsOf('mix'), 'mix');
const blocks = async () => ofKind(await recordsOf('block'), 'block');
const blockCalled = async (name: string) =>
  (await blocks()).find(({ body }) => body.name === name)!;

/** Takes the last change back, by the line at the foot of the page. */
async function undone<T>(count: () => Promise<readonly T[]>, before: number): Promise<void> {
  await button('Undo').tap();
  await expect.poll(async () => (await count()).length).toBe(before);
}

/** Lightness, strength and hue of each block, where a slider is moved at all. */
const BLOCKS = [
  ['Prawn', []],
  [
    'White',
    [
      [0, 0.97],
      [1, 0],
    ],
  ],
  ['Black', [[0, 0.12]]],
  [
    'Gutweed',
    [
      [0, 0.45],
      [1, 0.6],
      [2, 0.4],
    ],
  ],
] as const;

describe.skipIf(NO_BROWSER !== undefined)(
  `a lump from an empty book on a phone (${NO_BROWSER ?? 'browser'})`,
  () => {
    it('asks for blocks first, wherever it is asked', async () => {
      for (const path of ['/try', '/mend', '/even-steps', '/other-clays', '/charts']) {
        await page.goto(url(path));
        await page
          .getByText(/block|clay/i)
          .first()
          .waitFor();
        expect(await page.getByText('Something went wrong').count()).toBe(0);
      }
      await page.goto(url('/'));
      await button('Choose colours by eye').tap();
      const picker = page.locator('.add-blocks');
      for (const [name, moves] of BLOCKS) {
        for (const [track, to] of moves) await slide(picker, track, to);
        await button('Use this colour').tap();
        await page
          .getByLabel(/^Name of block/)
          .last()
          .fill(name);
      }
      await button('Save these 4 blocks').tap();
      await page.getByRole('heading', { name: 'Your studio' }).waitFor();
    });

    it('rolls test balls for a colour of Find, and saves the one that is good enough', async () => {
      await page.goto(url('/find?aim=62_18_22&called=Shell'));
      await page.locator('.recipe').first().waitFor();
      await page.getByRole('link', { name: 'Roll three test balls' }).tap();
      await page.getByText('Which ball is closest?').waitFor();
      // Nothing is judged yet, and a tap beside the balls is no answer.
      expect(await button('Next three').isDisabled()).toBe(true);
      await page.getByRole('heading', { name: 'Three test balls' }).tap();
      await button(/^Ball B/).tap();
      await button(/^Ball A/).tap();
      await button('lighter').tap();
      await button('darker').tap();
      expect(await button('lighter').getAttribute('aria-pressed')).toBe('false');
      await page.getByRole('radio', { name: 'slightly darker' }).tap();
      await button('Next three').tap();
      await page.getByText('Round 2 of about 3').waitFor();
      // The answer is seen at once: the recipe that it speaks for.
      await page.getByText(/^(Best so far|Probably right already): /).waitFor();
      await button('Back to round 1').tap();
      await page.getByText('Round 1 of about 3').waitFor();
      await settled(page);
      await button('I cannot choose').tap();
      await button('duller').tap();
      await button('Next three').tap();
      await page.getByText('Round 2 of about 3').waitFor();
      await settled(page);
      await button(/^Ball C/).tap();
      await button('Good enough, save C').tap();
      await button(/^Save$/).tap();
      await page.waitForURL(/\/book\/./);
      expect(await mixes()).toHaveLength(1);
      await undone(mixes, 0);
    });

    it('goes from a recipe that is mixed now to the lump that did not come out', async () => {
      const [prawn, white] = [await blockCalled('Prawn'), await blockCalled('White')];
      await page.goto(url(`/mixing?pieces=${prawn.id}:5,${white.id}:3&aim=70_15_18&called=Shell`));
      await page.getByText('pieces of Prawn').waitFor();
      for (let step = 0; step < 5; step++) await button('Next').tap();
      await page.getByText('How did it come out?').waitFor();
      await button(/Not quite/).tap();
      await page.getByRole('dialog').getByRole('button', { name: 'Save', exact: true }).tap();
      await page.waitForURL(/\/mend\?mix=/);
      await page.getByLabel('Size of the lump now').fill('-3');
      await page.getByText('Please type a number above 0').waitFor();
      await page.getByLabel('Size of the lump now').fill('24,5');
      await page.getByLabel('Counted in').selectOption('mm');
      const looks = page.getByRole('region', { name: 'How does the lump look?' });
      await slide(looks, 0, 0.45);
      await page.getByRole('heading', { name: /^The lump is / }).waitFor();
      await settled(page);
      await page.getByRole('list', { name: 'Additions, smallest first' }).waitFor();
      await button('I will add these').tap();
      await page.getByText('How did it come out?').waitFor();
      const [lump, mended] = (await mixes()).toSorted(
        (one, other) =>
          Number(one.body.cameFromId !== undefined) - Number(other.body.cameFromId !== undefined),
      );
      expect(mended?.body.cameFromId).toBe(lump?.id);
      const parts = (id: string) => mended?.body.parts.find(({ of }) => of.id === id)?.parts ?? 0;
      // Nothing is taken out, in pieces of the lump.
      const all = mended!.body.parts.reduce((sum, one) => sum + one.parts, 0);
      expect(all).toBeGreaterThan(8);
      expect(parts(prawn.id)).toBeGreaterThanOrEqual(5);
      expect(parts(white.id)).toBeGreaterThanOrEqual(3);
      await undone(mixes, 1);
      // Taken back, the additions are there again.
      await button('I will add these').waitFor();
    });

    it('lays out even steps and ratios from that mix, and takes the saved ones back', async () => {
      const [mix] = await mixes();
      await page.goto(url(`/book/${mix!.id}`));
      await page.getByRole('link', { name: 'Even steps to another colour' }).tap();
      await page.getByText('Choose where to go').waitFor();
      await button(/^To/).tap();
      await page.getByRole('dialog').getByRole('button', { name: 'black', exact: true }).tap();
      await page.getByText(/Every step looks equal|The steps are not equal/).waitFor();
      for (let step = 0; step < 4; step++) await button('Fewer: Steps').tap({ force: true });
      await expect
        .poll(() => page.locator('.steps-strip').first().locator('.tile').count())
        .toBe(3);
      await page.getByRole('radio', { name: '7 : 1, 3 : 1, 1 : 1' }).tap();
      await page.getByRole('heading', { name: /with more and more/ }).waitFor();
      expect(await page.locator('.steps-strip').first().locator('.tile').count()).toBe(4);
      await button('Save 3 mixes').tap();
      await expect.poll(async () => (await mixes()).length).toBe(4);
      await undone(mixes, 1);
    });

    it('mixes the same without a clay that ran out, and says why where it cannot', async () => {
      const [mix] = await mixes();
      await page.goto(url(`/book/${mix!.id}`));
      await page.getByRole('link', { name: 'The same without Prawn' }).tap();
      await page.getByRole('list', { name: 'Recipes with other clays' }).waitFor();
      await settled(page);
      await button(/^Save this recipe/).tap();
      await page.waitForURL(/\/book\/./);
      const made = (await mixes()).find(({ body }) => body.cameFromId === mix!.id)!;
      const prawn = await blockCalled('Prawn');
      expect(made.body.parts.some(({ of }) => of.id === prawn.id)).toBe(false);
      await undone(mixes, 1);
    });

    it('saves a new lot of a block of which no colour was known, and takes that back', async () => {
      const prawn = await blockCalled('Prawn');
      const glass = (
        await here.client.call('makeRecord', {
          body: { kind: 'block', body: { ...prawn.body, name: 'Number nine' } },
        })
      ).body.id;
      await here.client.call('makeRecord', {
        body: {
          kind: 'mix',
          body: {
            name: 'Nine and white',
            basis: 'volume',
            status: 'saved',
            parts: [
              { of: { kind: 'block', id: glass }, parts: 3 },
              { of: { kind: 'block', id: (await blockCalled('White')).id }, parts: 2 },
            ],
          },
        },
      });
      await page.goto(url(`/new-lot?block=${glass}`));
      await page.getByRole('heading', { name: 'A new lot of Number nine' }).waitFor();
      await button('Say how the old lot looks').tap();
      const dialog = page.getByRole('dialog');
      await slide(dialog, 0, 0.4);
      await dialog.getByRole('button', { name: 'Save reading' }).tap();
      await dialog.waitFor({ state: 'detached' });
      const looks = page.getByRole('region', { name: 'How does the new lot look?' });
      await looks.waitFor();
      const save = button('Save the new lot as a block');
      expect(await save.isDisabled()).toBe(true);
      await slide(looks, 0, 0.6);
      await page.getByRole('list', { name: /^Mixes, the one that changes most/ }).waitFor();
      await settled(page);
      await page.getByText('Nine and white').waitFor();
      const before = (await blocks()).length;
      await save.tap();
      await page.getByText('Saved as Number nine, lot 2').waitFor();
      expect((await blocks()).length).toBe(before + 1);
      await undone(blocks, before);
      // Taken back, the lot can be saved again.
      await save.waitFor();
    });

    it('says nothing wrong on the console', () => {
      expect(here.complaints).toEqual([]);
    });
  },
);
