import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { NO_BROWSER, type PageHere } from './page.ts';
import { pageToLookAt } from './screens.ts';

describe.skipIf(NO_BROWSER !== undefined)(`the wish list (${NO_BROWSER ?? 'browser'})`, () => {
  let here: PageHere;
  beforeAll(async () => {
    here = (await pageToLookAt()).here;
  });
  afterAll(() => here?.end());

  it('takes a colour that would help, and lets it go when it is bought', async () => {
    const page = await here.open({ width: 390, height: 844 });
    await page.goto(`${here.run.server.url}/stock`);
    await page.getByRole('link', { name: 'Wish list' }).click();
    const helping = page.getByRole('list', { name: 'Colours nobody here has' });
    await helping.waitFor();
    const name = (await helping.locator('b').first().textContent()) ?? '';
    await page.getByRole('button', { name: `Wish for this: ${name}`, exact: true }).click();
    const wishes = page.getByRole('list', { name: 'Wishes' });
    await wishes.getByText(name, { exact: true }).waitFor();
    await wishes.getByText(/^with your clays .* colours$/).waitFor();
    expect(await helping.getByText('On the list').count()).toBe(1);
    await wishes.getByRole('button', { name: `Bought: remove ${name}` }).click();
    await wishes.waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Undo' }).click();
    await wishes.getByText(name, { exact: true }).waitFor();
    expect(here.complaints).toEqual([]);
    await page.context().close();
  });

  it('compares lines hue by hue, and leads to the wish list', async () => {
    const page = await here.open({ width: 1440, height: 900 });
    await page.goto(`${here.run.server.url}/stock?view=compare`);
    const table = page.getByRole('region', { name: 'Lines hue by hue' });
    await table.getByRole('columnheader').nth(1).waitFor();
    await page
      .getByText(/alone makes|No other line adds colours to/)
      .first()
      .waitFor();
    await page.getByRole('link', { name: 'Which colours would help most?' }).click();
    await page.getByRole('heading', { name: 'Wish list' }).waitFor();
    const place = page.getByRole('navigation', { name: 'Screens' }).locator('[aria-current]');
    expect(await place.allTextContents()).toEqual(['Stock']);
    expect(here.complaints).toEqual([]);
    await page.context().close();
  });
});
