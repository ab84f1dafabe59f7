import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { NO_BROWSER, type PageHere, pageHere, tidePoolBook } from './page.ts';

describe.skipIf(NO_BROWSER !== undefined)(`buy or mix (${NO_BROWSER ?? 'browser'})`, () => {
  let here: PageHere;
  beforeAll(async () => {
    here = await pageHere(await tidePoolBook());
  });
  afterAll(() => here?.end());

  it('sorts the blocks, also when the user is less fussy or decides for one of them', async () => {
    const page = await here.open({ width: 390, height: 844 });
    // Questions that the page asks its workers.
    await page.addInitScript(() => {
      const send = Worker.prototype.postMessage;
      Worker.prototype.postMessage = function post(this: Worker, ...sent: [unknown]) {
        const { body } = sent[0] as { body?: { do?: string } };
        if (body?.do === 'ask') performance.mark('asked');
        send.apply(this, sent as never);
      };
    });
    const asked = () => page.evaluate(() => performance.getEntriesByName('asked').length);
    await page.goto(`${here.run.server.url}/stock`);
    await page.getByRole('link', { name: 'Buy or mix' }).click();
    await page.getByRole('radio', { name: 'All lines' }).click();
    const buy = page.getByRole('list', { name: 'Blocks to buy' });
    const mix = page.getByRole('list', { name: 'Blocks to mix' });
    await page.getByRole('radio', { name: /Same family: buy \d/ }).click();
    const counted = async () => {
      await page.locator('.piles[data-old="false"]').waitFor();
      await page.getByRole('progressbar').waitFor({ state: 'detached' });
      return [await buy.locator(':scope > li').count(), await mix.locator(':scope > li').count()];
    };
    const [bought, mixed] = await counted();
    expect(mixed).toBeGreaterThan(0);
    await mix
      .getByRole('button', { name: /^Always buy/ })
      .first()
      .click();
    await page.getByLabel('Why').fill('I paint it');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await buy.getByText('You always buy this block: I paint it.').waitFor();
    await buy.getByRole('button', { name: /^No longer always buy/ }).waitFor();
    const [boughtNow, mixedNow] = await counted();
    expect(boughtNow + mixedNow).toBe(bought + mixed);
    await page.getByText('Details', { exact: true }).click();
    await page
      .getByText(/The closest mix comes out/)
      .first()
      .waitFor();
    // The fussiest stop shows its piles at once, before reasons and chances are worked out.
    const slider = page.getByRole('slider', { name: 'How fussy you are' });
    await slider.press('Home');
    await expect.poll(() => buy.locator(':scope > li').count()).toBeGreaterThan(boughtNow);
    // A stop seen before has its reasons at once: nothing is asked again.
    const [fussiest] = await counted();
    const reasons = await buy.locator('p').allTextContents();
    expect(reasons.length).toBeGreaterThan(0);
    const before = await asked();
    await slider.press('ArrowRight');
    await expect.poll(() => buy.locator(':scope > li').count()).not.toBe(fussiest);
    await counted();
    expect(await asked()).toBe(before + 1);
    await slider.press('Home');
    expect(await page.getByRole('progressbar').count()).toBe(0);
    expect(await buy.locator('p').allTextContents()).toEqual(reasons);
    await slider.press('ArrowRight');
    await expect.poll(() => buy.locator(':scope > li').count()).not.toBe(fussiest);
    expect(await asked()).toBe(before + 1);
    await page.getByRole('radio', { name: 'Saltmarsh' }).click();
    await page.getByRole('link', { name: 'Make the buying list' }).click();
    await page.getByRole('heading', { name: /^Saltmarsh: (nothing to buy|buy \d)/ }).waitFor();
    expect(here.complaints).toEqual([]);
    await page.context().close();
  });
});
