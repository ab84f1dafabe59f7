import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { NO_BROWSER, type PageHere } from './page.ts';
import { NOT_REACHED, REACHED, WRONG_IN_FORCED_COLOURS } from './probes.ts';
import { goTo, pageToLookAt, SCREENS } from './screens.ts';

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

interface Stop {
  readonly words: string;
  readonly problems: readonly string[];
  readonly again: boolean;
}

/** Stops of Tab looked at on one screen; the longest lists go on alike. */
const MOST_STOPS = 70;
const reached = () => page.evaluate(REACHED) as Promise<Stop | null>;
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
  `keys and other eyes (${NO_BROWSER ?? 'browser'})`,
  () => {
    it.each(SCREENS)(
      '$name: all is reached, and seen; colours stay in forced colours',
      async (screen) => {
        await goTo(page, here.run.server.url, screen, mix);
        const problems: string[] = [];
        await page.evaluate('window.reachedBefore = new WeakSet()');
        // Past the last stop the keyboard leaves the page once, and comes in again at the first.
        for (let stops = 0, left = 0; left < 2; stops++) {
          await page.keyboard.press('Tab');
          const at = await reached();
          if (at === null) left++;
          else problems.push(...at.problems.map((what) => `${at.words}: ${what}`));
          if (at?.again === true) break;
          if (stops === MOST_STOPS) break;
        }
        const all = (await page.evaluate(
          'document.querySelectorAll("a, button, input").length',
        )) as number;
        if (all < MOST_STOPS) {
          const never = (await page.evaluate(NOT_REACHED)) as string[];
          problems.push(...never.map((one) => `${one}: never reached`));
        }
        await page.emulateMedia({ forcedColors: 'active' });
        const forced = (await page.evaluate(WRONG_IN_FORCED_COLOURS)) as { problems: string[] };
        await page.keyboard.press('Tab');
        const marked = (await reached())?.problems.includes('not seen to be reached') === true;
        await page.emulateMedia({ forcedColors: 'none' });
        expect([...problems, ...forced.problems.map((one) => `forced colours: ${one}`)]).toEqual(
          [],
        );
        expect(marked).toBe(false);
      },
    );

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
