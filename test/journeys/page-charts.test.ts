import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { NO_BROWSER, type PageHere, pageHere, tidePoolBook } from './page.ts';
import { settled } from './screens.ts';

let here: PageHere;
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  here = await pageHere(await tidePoolBook());
});
afterAll(async () => {
  await here?.end();
});

const url = (path: string) => `${here.run.server.url}${path}`;
const phone = async () => {
  const context = await here.browser.newContext({
    viewport: { width: 390, height: 844 },
    hasTouch: true,
    reducedMotion: 'reduce',
    serviceWorkers: 'block',
  });
  return here.open({ context });
};

describe.skipIf(NO_BROWSER !== undefined)(`charts on the page (${NO_BROWSER ?? 'browser'})`, () => {
  it('is reached from Tiles, fills what was read, and leads from a cell to mixing', async () => {
    const page = await phone();
    await page.goto(url('/tiles'));
    await page.getByRole('navigation', { name: 'Tiles' }).getByText('Charts').tap();
    await settled(page);
    await page.getByRole('radio', { name: 'Saltmarsh' }).tap();
    const kelp = page.getByRole('region', { name: 'Kelp', exact: true });
    await kelp.getByRole('button', { name: /^1, 1 Kelp, read: / }).waitFor();
    expect(await page.locator('.chart-colour[data-read="false"]').count()).toBeGreaterThan(10);
    await kelp.getByRole('button', { name: /^3 : 1, 3 Kelp \+ 1 Foam/ }).tap();
    const cell = page.getByRole('dialog', { name: '3 Kelp + 1 Foam' });
    await cell.getByRole('link', { name: 'Mix now' }).tap();
    await page.waitForURL(/\/mixing\?/);
    expect(new URL(page.url()).searchParams.get('pieces')).toContain('kelp:3');
    expect(here.complaints).toEqual([]);
    await page.context().close();
  });

  it('makes a grid of two clays, half and half', async () => {
    const page = await phone();
    await page.goto(url('/charts'));
    await settled(page);
    await page.getByRole('radio', { name: 'A few clays' }).tap();
    for (const name of ['Kelp', 'Limpet']) {
      await page.getByRole('button', { name: 'Add a clay' }).tap();
      await page.getByRole('dialog').getByRole('button', { name }).first().tap();
    }
    const region = page.getByRole('region', { name: 'Kelp', exact: true });
    await region.getByRole('button', { name: /^Limpet, 1 Kelp \+ 1 Limpet/ }).waitFor();
    expect(await page.locator('.chart-cell').count()).toBe(4);
    expect(here.complaints).toEqual([]);
    await page.context().close();
  });

  it('prints every cell empty, at the size of a real tile', async () => {
    const page = await here.open({ width: 794, height: 1123 });
    await page.goto(url('/charts'));
    await settled(page);
    await page.locator('.chart-cell').first().waitFor();
    await page.emulateMedia({ media: 'print' });
    const cell = await page
      .locator('.chart-colour')
      .first()
      .evaluate((one) => {
        const style = getComputedStyle(one as never);
        return [style.width, style.height, style.backgroundColor, style.backgroundImage];
      });
    // 20 mm at 96 px an inch.
    expect(Number.parseFloat(cell[0])).toBeCloseTo((20 * 96) / 25.4, 0);
    expect(Number.parseFloat(cell[1])).toBeCloseTo((20 * 96) / 25.4, 0);
    expect(cell.slice(2)).toEqual(['rgba(0, 0, 0, 0)', 'none']);
    await page.context().close();
  });

  it('says beside two blocks which pinch turns the one into the other', async () => {
    const page = await phone();
    await page.goto(url('/stock?view=compare'));
    await settled(page);
    const pinch = page.locator('.pair-pinch').first();
    await pinch.waitFor();
    expect(await pinch.textContent()).toMatch(/^\d+ \w+ \+ 1 \w+: /);
    expect(here.complaints).toEqual([]);
    await page.context().close();
  });
});
