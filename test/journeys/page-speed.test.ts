import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { NO_BROWSER, type PageHere, pageHere, tidePoolBook } from './page.ts';

let here: PageHere;
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  here = await pageHere(await tidePoolBook());
});
afterAll(async () => {
  await here?.end();
});

const url = (path: string) => `${here.run.server.url}${path}`;
const placesOf = (page: Page) =>
  page
    .locator('.top a')
    .evaluateAll((links) =>
      links.map((link) => [
        (link as never as { pathname: string }).pathname,
        (link as never as { textContent: string }).textContent,
        (link as never as { dataset: { later?: string } }).dataset.later,
        (link as never as { offsetTop: number }).offsetTop,
      ]),
    );

describe.skipIf(NO_BROWSER !== undefined)(`quick ways (${NO_BROWSER ?? 'browser'})`, () => {
  it.each([
    ['a wide', 1280],
    ['a narrow', 390],
  ])(
    'shows the same places, where they will stand, before any script has come on %s screen',
    async (_, width) => {
      const page = await here.open({ width });
      await page.route('**/*.js', (route) => route.abort());
      await page.goto(url('/'));
      const before = await placesOf(page);
      await page.unrouteAll();
      await page.goto(url('/'));
      await page.locator('main h1, main h2').first().waitFor();
      expect(await placesOf(page)).toEqual(before);
      expect(before.length).toBeGreaterThan(5);
      await page.context().close();
      // The scripts that were held back are reported; nothing else may be.
      expect(here.complaints.filter((one) => !one.includes('ERR_FAILED'))).toEqual([]);
      here.complaints.length = 0;
    },
  );

  it.each(['/', '/find', '/book/write', '/tiles/photo'])(
    'asks for the scripts of %s together with those of the page',
    async (path) => {
      const page = await here.open();
      // What loads when the page is idle is no part of the screen.
      await page.addInitScript('window.requestIdleCallback = () => 0');
      const preloaded = async () =>
        (await page
          .locator('link[rel=modulepreload]')
          .evaluateAll((links) =>
            links.map((link) => (link as never as { href: string }).href),
          )) as string[];
      // The page's own script does not come, so that nothing else can have asked.
      await page.route('**/assets/index-*.js', (route) => route.abort());
      await page.goto(url(path));
      const early = await preloaded();
      await page.unrouteAll();
      await page.goto(url(path));
      await page.locator('main h1').first().waitFor();
      // What a screen's script needs and is not asked for yet is asked for by its import, as such a link.
      const late = (await preloaded()).filter(
        (one) => !early.includes(one) && !one.includes('/index-'),
      );
      expect(late).toEqual([]);
      expect(early.length).toBeGreaterThan(3);
      await page.context().close();
      here.complaints.length = 0;
    },
  );

  it('lets a colour be chosen before the clays are open, and calls nothing colourless meanwhile', async () => {
    const page = await here.open();
    let open: () => void = () => {};
    const held = new Promise<void>((resolve) => {
      open = resolve;
    });
    await page.route('**/clay-models/*/bytes', async (route) => {
      await held;
      await route.continue();
    });
    await page.goto(url('/find?aim=56_-16_26&called=Sea+moss'));
    await page.getByRole('img', { name: 'Predicted: loading' }).waitFor();
    const wanted = page.getByRole('img', { name: /^Wanted/ });
    expect(await wanted.getAttribute('aria-label')).toContain('Sea moss');
    const before = await wanted.getAttribute('style');
    await page.getByRole('slider', { name: 'Hue' }).focus();
    await page.keyboard.press('ArrowRight');
    await expect.poll(() => wanted.getAttribute('style')).not.toBe(before);
    expect(await page.getByText('no colour yet').count()).toBe(0);
    open();
    await page.getByText(/^All .* recipes checked/).waitFor();
    expect(here.complaints).toEqual([]);
    await page.context().close();
  });

  it('draws a moved piece and its colour in one frame', async () => {
    const page = await here.open();
    await page.goto(url('/find?aim=56_-16_26&called=Sea+moss'));
    await page.getByText(/^All .* recipes checked/).waitFor();
    const drawn = () =>
      page.evaluate(`(async () => {
        const colour = () => document.querySelectorAll('.layer-colour > .tile')[1].style.background;
        const parts = () => document.querySelector('.pieces-count').textContent;
        const before = [parts(), colour()];
        document.querySelector('button[aria-label^="Add one part of"]').click();
        // Only what the press itself set going; no message of a worker comes between these.
        for (let i = 0; i < 20; i++) await Promise.resolve();
        return [parts() !== before[0], colour() !== before[1]];
      })()`) as Promise<[boolean, boolean]>;
    // From when the clays are at hand: once somebody touched the page, and it has had nothing else to do.
    await page.mouse.move(300, 300);
    await expect.poll(drawn, { interval: 300 }).toEqual([true, true]);
    expect(await drawn()).toEqual([true, true]);
    expect(here.complaints).toEqual([]);
    await page.context().close();
  });
});
