import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { NO_BROWSER, type PageHere, pageHere, tidePoolBook } from './page.ts';

let here: PageHere;
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  here = await pageHere(await tidePoolBook());
  await here.client.call('makeChange', {
    body: {
      what: 'A palette was laid out',
      steps: [
        {
          do: 'put',
          kind: 'palette',
          id: 'pool',
          body: {
            name: 'Rock pool',
            aims: [
              { id: 'arm', name: 'arm', lab: [56, -16, 26], toleranceDE00: 1.8 },
              { id: 'tip', name: 'tip', lab: [66, 18, 20], toleranceDE00: 1.8 },
            ],
          },
        },
      ] as never,
    },
  });
});
afterAll(async () => {
  await here?.end();
});

const url = (path: string) => `${here.run.server.url}${path}`;
const AIM = '/find?aim=56_-16_26&called=Sea+moss';
const weighed = (page: Page) => page.getByText(/^All .* recipes checked/).waitFor();
const openRules = (page: Page) => page.getByRole('button', { name: 'Change rules' }).click();
const alwaysUse = async (page: Page, clay: string) => {
  await page.getByRole('button', { name: 'Choose a clay', exact: true }).click();
  await page.getByRole('dialog').last().getByRole('button', { name: clay }).click();
};
const searchWith = (page: Page) => page.getByRole('button', { name: 'Apply' }).click();
const madeColour = (page: Page) =>
  page
    .locator('.find-bench .layer-colour > .tile')
    .nth(1)
    .evaluate((one) => (one as never as { style: { background: string } }).style.background);
const mixes = async () =>
  (await here.client.call('listRecords', { query: { kind: 'mix' } })).body.total;

describe.skipIf(NO_BROWSER !== undefined)(`find on the page (${NO_BROWSER ?? 'browser'})`, () => {
  it('follows rules that are summed up in one sentence and remain after the page was closed', async () => {
    const page = await here.open();
    await page.goto(url(AIM));
    await weighed(page);
    await openRules(page);
    await page.getByLabel('Clays per recipe, at most').selectOption('2');
    await alwaysUse(page, 'Kelp');
    await page.getByLabel('Of what').selectOption({ label: 'Saltmarsh' });
    await page
      .getByText(/always with Kelp; at least 50 % Saltmarsh/)
      .first()
      .waitFor();
    await searchWith(page);
    await weighed(page);
    const rows = page.locator('ol.recipes > .recipe');
    await expect.poll(() => rows.count()).toBeGreaterThan(0);
    await expect
      .poll(async () => (await rows.allTextContents()).every((text) => text.includes('Kelp')))
      .toBe(true);
    await page.reload();
    await page.getByText(/always with Kelp; at least 50 % Saltmarsh/).waitFor();
    await page.context().close();
  });

  it('does not lose what was typed when a clay comes in from another device', async () => {
    const page = await here.open();
    await page.goto(url(AIM));
    await weighed(page);
    await page.getByRole('radio', { name: 'By numbers' }).click();
    const typed = page.getByLabel('Colour', { exact: true });
    await typed.fill('#8a9b');
    const [line] = (await here.client.call('listRecords', { query: { kind: 'line' } })).body
      .records;
    const opened = page.waitForEvent('worker');
    await here.client.call('makeChange', {
      body: {
        what: 'A block was bought',
        steps: [
          {
            do: 'put',
            kind: 'block',
            id: 'sea-squirt',
            body: {
              lineId: line.id,
              name: 'Sea squirt orange',
              clayType: 'opaque',
              status: 'current',
            },
          },
        ] as never,
      },
    });
    await opened;
    await weighed(page);
    expect(await typed.inputValue()).toBe('#8a9b');
    await page.context().close();
  });

  it('stopped, gives the best so far and says how far it came', async () => {
    const page = await here.open();
    await page.goto(url(AIM));
    await weighed(page);
    await openRules(page);
    await page.getByLabel('Clays per recipe, at most').selectOption('5');
    await page.getByLabel('Parts, at most').selectOption('32');
    await searchWith(page);
    await page.getByRole('button', { name: 'Stop' }).click();
    await page
      .getByText(/^Stopped: \d+ % of all [\d,.]+ recipes checked\. These are the best so far/)
      .waitFor();
    await expect.poll(() => page.locator('ol.recipes > .recipe').count()).toBeGreaterThan(0);
    await page.context().close();
  });

  it('loaded again with a dialog open, shows none and has none in its history', async () => {
    const page = await here.open();
    await page.goto(url(AIM));
    await page.getByRole('button', { name: 'Change rules' }).click();
    await page.getByRole('dialog').waitFor();
    expect(await page.evaluate('history.state.dialog')).toBeDefined();
    await page.reload();
    await page.getByRole('heading', { name: 'Find a recipe' }).waitFor();
    expect(await page.evaluate('history.state?.dialog')).toBeUndefined();
    await page.context().close();
  });

  it('keeps the rules and the recipe where a dialog is cancelled', async () => {
    const page = await here.open();
    await page.goto(url(AIM));
    await weighed(page);
    await openRules(page);
    const most = page.getByLabel('Clays per recipe, at most');
    const before = await most.inputValue();
    await most.selectOption(before === '1' ? '2' : '1');
    const cancel = page.getByRole('dialog').getByRole('button', { name: 'Cancel' });
    await cancel.click();
    await openRules(page);
    expect(await most.inputValue()).toBe(before);
    await cancel.click();
    await page.getByRole('button', { name: 'Add a clay' }).click();
    await cancel.click();
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    await page.context().close();
  });

  it('says in one sentence why rules contradict, and how to go on', async () => {
    const page = await here.open();
    await page.goto(url(AIM));
    await weighed(page);
    await openRules(page);
    await alwaysUse(page, 'Kelp');
    await page.getByText('Clays to use', { exact: false }).first().click();
    await page.locator('.clays').getByText('Kelp', { exact: true }).click();
    const why = /Kelp must be in every recipe and is left out\. Remove one of the two rules\./;
    await page.getByRole('dialog').getByText(why).waitFor();
    await searchWith(page);
    await page.getByRole('region', { name: 'Recipes found' }).getByText(why).waitFor();
    await page
      .getByRole('region', { name: 'Recipes found' })
      .getByRole('button', { name: 'Change rules' })
      .click();
    await page.getByRole('button', { name: 'Reset rules' }).click();
    await searchWith(page);
    await weighed(page);
    await page.context().close();
  });

  it('shows why nothing comes near as a picture, and tries what would help', async () => {
    const page = await here.open();
    await page.goto(url(AIM));
    await weighed(page);
    await openRules(page);
    await page.getByLabel('Clays per recipe, at most').selectOption('1');
    await searchWith(page);
    await page.getByRole('heading', { name: 'No recipe is close' }).waitFor();
    await page.getByRole('img', { name: /^Your clays reach \d+ % of this strip/ }).waitFor();
    // The aim and the closest mix touch along the whole edge.
    const pair = page.locator('.find-bench .layer-colour > .tile');
    const [above, below] = [await pair.nth(0).boundingBox(), await pair.nth(1).boundingBox()];
    expect(above!.y + above!.height).toBeCloseTo(below!.y, 0);
    expect(above!.width).toBeCloseTo(below!.width, 0);
    await page.getByRole('button', { name: 'Try this: With 2 clays per recipe' }).click();
    await page.getByText(/at most 2 per recipe/).waitFor();
    await weighed(page);
    await expect
      .poll(() => page.locator('ol.recipes > .recipe').first().textContent())
      .toMatch(/\d+ .*\d+ /);
    await page.context().close();
  });

  it('is moved by hand, taken back move by move, weighed out, kept under the next free code', async () => {
    const page = await here.open();
    await page.goto(url(AIM));
    await weighed(page);
    await page.getByText('Details', { exact: true }).click();
    await page.getByLabel(/^Batch size/).fill('40');
    await expect
      .poll(async () => {
        const answer = await page.locator('.bench .pieces-amount').allTextContents();
        return answer.reduce((sum, text) => sum + Number.parseFloat(text), 0);
      })
      // Each is rounded to whole grams.
      .toBeGreaterThanOrEqual(38);
    const found = await madeColour(page);
    const more = page.getByRole('button', { name: /^Add one part of/ });
    await more.first().click();
    await expect.poll(() => madeColour(page)).not.toBe(found);
    const once = await madeColour(page);
    await page
      .getByRole('slider', { name: /^Parts of/ })
      .last()
      .click();
    await more.click();
    await expect.poll(() => madeColour(page)).not.toBe(once);
    await page.keyboard.press('Control+z');
    await expect.poll(() => madeColour(page)).toBe(once);
    await page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(() => madeColour(page)).toBe(found);
    await more.first().click();
    await page.getByRole('button', { name: 'Back to the found recipe' }).click();
    await expect.poll(() => madeColour(page)).toBe(found);

    const had = await mixes();
    await page.getByRole('button', { name: 'Save this mix' }).click();
    await page.getByLabel('Code to stamp into the tile').fill('S1');
    // Pressed twice as fast as can be, it is kept once.
    await page.getByLabel('Name', { exact: true }).fill('Weed');
    await page.getByRole('button', { name: 'Save', exact: true }).evaluate((one) => {
      const button = one as never as { click(): void };
      button.click();
      button.click();
    });
    await page.getByRole('heading', { level: 1, name: /Weed/ }).waitFor();
    expect(await mixes()).toBe(had + 1);

    // The same again: it is said, and the code goes on past the one another page takes meanwhile.
    await page.goto(url(AIM));
    await weighed(page);
    await page.getByRole('button', { name: 'Save this mix' }).click();
    await page.getByText('You already have this recipe').waitFor();
    const code = page.getByLabel('Code to stamp into the tile');
    await expect.poll(() => code.inputValue()).toBe('S2');
    await page.route(
      '**/api/v1/changes',
      async (route) => {
        await here.client.call('makeRecord', {
          body: {
            kind: 'mix',
            body: {
              code: 'S2',
              basis: 'volume',
              status: 'saved',
              parts: [{ of: { kind: 'block', id: 'kelp' }, parts: 1 }],
            },
          },
        });
        await route.continue();
      },
      { times: 1 },
    );
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText(/S2 has just been used\. S3 is free/).waitFor();
    await expect.poll(() => code.inputValue()).toBe('S3');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByRole('heading', { level: 1, name: /S3/ }).waitFor();
    await page.context().close();
  });

  it('is mixed straight from the prediction, one clay at a time, and saved at the end', async () => {
    const page = await here.open({ width: 390, height: 844 });
    await page.goto(url(AIM));
    await weighed(page);
    const clays = await page.locator('.find-bench .pieces-group').count();
    await page.getByRole('link', { name: 'Mix now' }).click();
    await page.getByText(/^pieces? of /).waitFor();
    // The pieces are drawn, and the lump so far with the other clays to come.
    const drawn = (await page.locator('.mixing-pieces .piece').first().boundingBox())!;
    expect(drawn.height).toBeGreaterThan(40);
    const toCome = page
      .locator('.mixing-lump .pieces-group')
      .filter({ has: page.locator('.no-colour') });
    await expect.poll(() => toCome.count()).toBe(clays - 1);
    const had = await mixes();
    const next = page.getByRole('button', { name: 'Next' });
    while (await next.isVisible()) await next.click();
    expect(await toCome.count()).toBe(0);
    await page.getByRole('button', { name: 'Save this mix' }).click();
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.waitForURL(/\/book\/[a-z0-9-]+$/);
    expect(await mixes()).toBe(had + 1);
    await page.context().close();
  });

  it('goes from aim to aim of a palette, and tells in Colour range whether one lies inside', async () => {
    const page = await here.open();
    await page.goto(url('/find'));
    await page.getByRole('radio', { name: 'From a list' }).click();
    await page.getByRole('button', { name: /arm/ }).click();
    await weighed(page);
    await page.getByText('Rock pool, 1 of 2').waitFor();
    await page.getByRole('button', { name: 'Next colour: tip' }).click();
    await page.locator('.layer-name').getByText('Rock pool, tip').waitFor();
    await weighed(page);

    for (const [old, now] of [
      ['/seek', '/find'],
      ['/learn', '/clay-model'],
      ['/reach', '/colour-range'],
    ]) {
      await page.goto(url(old));
      await page.waitForURL(url(now));
    }
    await page.getByText(/^All clays: your colour is /).waitFor();
    const slider = page.getByRole('slider', { name: /^Lightness/ });
    await slider.focus();
    for (let i = 0; i < 15; i++) await page.keyboard.press('ArrowLeft');
    await page.getByRole('button', { name: 'Go to its lightness' }).press('Enter');
    expect(await slider.inputValue()).toBe('66');
    await page.getByLabel('Clays').selectOption({ label: 'Saltmarsh only' });
    await page.getByLabel('Compare with').selectOption({ label: 'Brindle only' });
    await page.getByText(/^Dashed line, Brindle only: /).waitFor();
    await page.getByText('Details').click();
    expect(await page.locator('table.figures tbody tr').count()).toBe(12);
    await page.context().close();
    expect(here.complaints).toEqual([]);
  });
});
