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
const mixes = async () =>
  (await here.client.call('listRecords', { query: { kind: 'mix' } })).body.total;
const AIM = '/find?aim=56_-16_26&called=Sea+moss';

describe.skipIf(NO_BROWSER !== undefined)(`a learned studio (${NO_BROWSER ?? 'browser'})`, () => {
  it('finds under a rule, moves parts by hand, keeps, and finds the mix again', async () => {
    const page = await here.open();
    await page.goto(url(AIM));
    await page.getByText(/^All .* recipes checked/).waitFor();
    await page.getByRole('button', { name: 'Change rules' }).click();
    await page.getByLabel('Clays per recipe, at most').selectOption('2');
    await page.getByRole('button', { name: 'Apply' }).click();
    await expect
      .poll(async () => {
        const counts = await page
          .locator('.recipe')
          .evaluateAll((rows) => rows.map((row) => row.querySelectorAll('.pieces-group').length));
        return counts.length > 0 && counts.every((n) => n <= 2);
      })
      .toBe(true);
    const made = page.locator('.find-bench .layer-colour > .tile').nth(1);
    const before = await made.evaluate(
      (one) => (one as never as { style: { background: string } }).style.background,
    );
    await page
      .getByRole('button', { name: /^Add one part of/ })
      .first()
      .click();
    await page.locator('.layer-name').getByText('your own mix').waitFor();
    await expect
      .poll(() =>
        made.evaluate(
          (one) => (one as never as { style: { background: string } }).style.background,
        ),
      )
      .not.toBe(before);
    await page.getByRole('button', { name: 'Save this mix' }).click();
    await page.getByLabel('Code to stamp into the tile').fill('K7');
    await page.getByLabel('Name', { exact: true }).fill('Sea moss');
    await page.getByLabel('Tags').fill('weeds');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByRole('heading', { level: 1, name: /Sea moss/ }).waitFor();
    await page.getByRole('link', { name: 'Mix book' }).first().click();
    await page.getByLabel('Search').fill('weeds');
    await page
      .getByRole('link', { name: /Sea moss/ })
      .first()
      .waitFor();
    await page.context().close();
  });

  it('takes three changes back, one after the other, and does them again', async () => {
    const page = await here.open();
    await page.goto(url('/book/write'));
    const had = await mixes();
    for (const name of ['one', 'two', 'three']) {
      await page.getByLabel('Recipes', { exact: true }).fill(`Pool ${name}: 3 Kelp 1 Foam`);
      await page.getByRole('button', { name: 'Save 1 recipe' }).click();
      await expect.poll(() => page.getByLabel('Recipes', { exact: true }).inputValue()).toBe('');
    }
    expect(await mixes()).toBe(had + 3);
    for (const left of [2, 1, 0]) {
      await page.getByRole('heading', { level: 1 }).click();
      await page.keyboard.press('Control+z');
      await expect.poll(mixes).toBe(had + left);
    }
    await page.locator('.notice').getByRole('button', { name: 'Redo' }).click();
    await expect.poll(mixes).toBe(had + 1);
    await page.context().close();
  });

  it('keeps what two pages say of one mix apart, and lets the user choose one', async () => {
    const { body } = await here.client.call('makeRecord', {
      body: {
        kind: 'mix',
        body: {
          name: 'Wrack',
          basis: 'volume',
          status: 'saved',
          parts: [{ of: { kind: 'block', id: 'kelp' }, parts: 2 }],
        },
      },
    });
    const one = await here.open();
    const other = await here.open();
    for (const page of [one, other]) {
      await page.goto(url(`/book/${body.id}`));
      await page.getByRole('button', { name: 'Edit', exact: true }).click();
    }
    await one.getByLabel('Note').fill('from the first page');
    await one.getByRole('button', { name: 'Save changes' }).click();
    await one.locator('p.lead', { hasText: 'from the first page' }).waitFor();
    await other.getByLabel('Note').fill('from the second page');
    await other.getByRole('button', { name: 'Save changes' }).click();
    await other.getByText(/This mix was changed on another page or device/).waitFor();
    await other.getByRole('button', { name: 'Keep my version' }).click();
    // The first page hears of it without being asked.
    await one.locator('p.lead', { hasText: 'from the second page' }).waitFor();
    await one.context().close();
    await other.context().close();
  });

  it('names the tile to bake next, and why', async () => {
    const page = await here.open();
    await page.goto(url('/tiles'));
    const first = page.locator('.next-cards li').first();
    await first.waitFor();
    expect(((await first.textContent()) ?? '').length).toBeGreaterThan(20);
    await page.context().close();
  });

  it('goes from a recipe to clay on a phone, one clay at a time', async () => {
    const page = await here.open({ width: 360, height: 740 });
    await page.goto(url('/book'));
    await page.getByRole('link', { name: /Wrack/ }).first().click();
    await page.getByRole('link', { name: 'Start mixing' }).click();
    await page.getByText('pieces of Kelp').waitFor();
    await page.getByRole('button', { name: 'Next' }).click();
    await page.getByText('Knead until no streaks are left').waitFor();
    // WCAG 2.2, 2.5.8 asks for 24 px; the house for 44.
    const small = await page
      .locator('button:visible, a.button:visible')
      .evaluateAll((all) =>
        all
          .map(
            (one) =>
              (
                one as never as { getBoundingClientRect(): { height: number } }
              ).getBoundingClientRect().height,
          )
          .filter((height) => height < 44),
      );
    expect(small).toEqual([]);
    await page.context().close();
  });

  it('is worked from an aim to a kept mix by keyboard alone', async () => {
    const page = await here.open();
    await page.goto(url(AIM));
    await page.getByText(/^All .* recipes checked/).waitFor();
    const had = await mixes();
    const slider = page.getByRole('slider', { name: /^Parts of/ }).first();
    const parts = Number(await slider.getAttribute('aria-valuenow'));
    const tabTo = async (reached: () => Promise<boolean>) => {
      for (let i = 0; i < 200; i++) {
        if (await reached()) return;
        await page.keyboard.press('Tab');
      }
      throw new Error('Tab does not come there.');
    };
    await tabTo(() => slider.evaluate((one) => one.matches(':focus')));
    await page.keyboard.press('ArrowRight');
    await expect.poll(() => slider.getAttribute('aria-valuenow')).toBe(String(parts + 1));
    const keep = page.getByRole('button', { name: 'Save this mix' });
    await tabTo(() => keep.evaluate((one) => one.matches(':focus')));
    await page.keyboard.press('Enter');
    await expect
      .poll(() => page.getByLabel('Name', { exact: true }).evaluate((one) => one.matches(':focus')))
      .toBe(true);
    await page.keyboard.type('By keys');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { level: 1, name: /By keys/ }).waitFor();
    expect(await mixes()).toBe(had + 1);
    await page.context().close();
  });

  it('takes a colour that is typed right after one that was not', async () => {
    const page = await here.open();
    await page.goto(url('/find'));
    await page.getByRole('radio', { name: 'By numbers' }).click();
    const box = page.getByLabel('Colour', { exact: true });
    await box.fill('<b>greenish</b> 999');
    await box.press('Enter');
    await page.getByText(/^Type #8a3b2c/).waitFor();
    await box.fill('#8a9b6c');
    await box.press('Enter');
    await page.getByText(/^All .* recipes checked/).waitFor();
    expect(await page.getByText(/^Type #8a3b2c/).count()).toBe(0);
    await page.context().close();
  });

  it('says why nothing comes near, and what would', async () => {
    const page = await here.open();
    await page.goto(url('/find?aim=60_-75_-5&called=Too+bright'));
    await page.getByRole('heading', { name: 'No recipe is close' }).waitFor();
    await page.getByText(/^Every mix of your clays comes out .*duller/).waitFor();
    await page.context().close();
    expect(here.complaints).toEqual([]);
  });
});
