import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { NO_BROWSER, type PageHere } from './page.ts';
import { pageToLookAt } from './screens.ts';

let here: PageHere;
let page: Page;
let mix = '';
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  ({ here, mix } = await pageToLookAt());
  page = await here.open({ width: 360, height: 740 });
});
afterAll(async () => {
  await here?.end();
});

const url = (path: string) => `${here.run.server.url}${path.replace(':mix', mix)}`;
const total = async (kind: 'mix' | 'tile' | 'block') =>
  (await here.client.call('listRecords', { query: { kind } })).body.total;

/** Tab, until what is so called has the keyboard. */
async function tabTo(name: string | RegExp): Promise<void> {
  const passed: string[] = [];
  for (let i = 0; i < 120; i++) {
    await page.keyboard.press('Tab');
    const at = (await page.evaluate(`(() => {
      const el = document.activeElement;
      const by = el.getAttribute('aria-labelledby');
      const words = by ? by.split(' ').map((id) => document.getElementById(id)?.textContent ?? '').join(' ')
        : el.getAttribute('aria-label') ?? (el.labels?.[0] ?? el).textContent;
      return words.trim();
    })()`)) as string;
    if (typeof name === 'string' ? at === name : name.test(at)) return;
    passed.push(at);
  }
  throw new Error(`Tab does not come to ${name}; it passes ${passed.slice(0, 40).join(', ')}`);
}

describe.skipIf(NO_BROWSER !== undefined)(
  `the page by its keys (${NO_BROWSER ?? 'browser'})`,
  () => {
    it('finds a mix and mixes it', async () => {
      await page.goto(url('/book'));
      await page
        .getByRole('link', { name: /Sea moss/ })
        .first()
        .waitFor();
      await tabTo(/Sea moss/);
      await page.keyboard.press('Enter');
      await page.getByRole('heading', { level: 1, name: /Sea moss/ }).waitFor();
      await tabTo('Start mixing');
      await page.keyboard.press('Enter');
      await page.getByText('pieces of Kelp').waitFor();
      await tabTo('Next');
      await page.keyboard.press('Enter');
      await page.getByText('pieces of Limpet').waitFor();
    });

    it('reads a tile by eye, and takes it back', async () => {
      await page.goto(url('/book/:mix'));
      const had = await total('tile');
      await page.getByRole('button', { name: 'Add a reading' }).waitFor();
      await tabTo('Add a reading');
      await page.keyboard.press('Enter');
      await page.getByRole('dialog').waitFor();
      const slider = page.getByRole('dialog').getByRole('slider').first();
      for (let i = 0; i < 40 && !(await slider.evaluate((one) => one.matches(':focus'))); i++) {
        await page.keyboard.press('Tab');
      }
      const before = await slider.inputValue();
      await page.keyboard.press('ArrowRight');
      expect(Number(await slider.inputValue())).toBeGreaterThan(Number(before));
      await tabTo('Save reading');
      await page.keyboard.press('Enter');
      await page.getByRole('dialog').waitFor({ state: 'detached' });
      expect(await total('tile')).toBe(had + 1);
      await page.keyboard.press('Control+z');
      await expect.poll(() => total('tile')).toBe(had);
    });

    it('writes a page down', async () => {
      const had = await total('mix');
      await page.goto(url('/book/write'));
      await page.getByLabel('Recipes', { exact: true }).waitFor();
      await tabTo('Recipes');
      await page.keyboard.type('Drift: 2 Kelp 1 Foam');
      await tabTo('Save 1 recipe');
      await page.keyboard.press('Enter');
      await expect.poll(() => total('mix')).toBe(had + 1);
    });

    it('chooses how to give a colour, and hears the colour of a slider', async () => {
      await page.goto(url('/find?aim=52_-18_22'));
      const radio = (name: string) => page.getByRole('radio', { name });
      await radio('From a list').waitFor();
      await tabTo('By eye');
      await page.keyboard.press('ArrowRight');
      await expect.poll(() => radio('From a list').isChecked()).toBe(true);
      await page.keyboard.press('ArrowLeft');
      await expect.poll(() => radio('By eye').isChecked()).toBe(true);
      await tabTo('Hue');
      const hue = page.getByRole('slider', { name: 'Hue' });
      expect(await hue.getAttribute('aria-valuetext')).toMatch(/green/);
      for (let i = 0; i < 60; i++) await page.keyboard.press('ArrowRight');
      await expect.poll(() => hue.getAttribute('aria-valuetext')).toMatch(/blue/);
    });

    it('shows a block by eye and keeps it', async () => {
      const had = await total('block');
      await page.goto(url('/'));
      await page.getByRole('button', { name: 'Add a block by eye' }).waitFor();
      await tabTo('Add a block by eye');
      await page.keyboard.press('Enter');
      await page.getByRole('button', { name: 'Use this colour' }).waitFor();
      await tabTo('Use this colour');
      await page.keyboard.press('Enter');
      await tabTo(/^Name of block/);
      await page.keyboard.type('Sandhopper');
      await tabTo(/^Save this block$|^Save these/);
      await page.keyboard.press('Enter');
      await expect.poll(() => total('block')).toBe(had + 1);
      expect(here.complaints).toEqual([]);
    });
  },
);
