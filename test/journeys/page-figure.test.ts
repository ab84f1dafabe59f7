import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { make } from '../../src/domain/changes/steps.ts';
import { USUAL_UNITS } from '../../src/domain/usual-units.ts';
import type { BuyingListAnswer } from '../../src/verbs/buying-list-question.ts';
import { massInWords } from '../../src/web/book/units.ts';
import { done } from '../server/running.ts';
import { NO_BROWSER, type PageHere } from './page.ts';
import { callHere } from './program.ts';
import { pageToLookAt } from './screens.ts';

describe.skipIf(NO_BROWSER !== undefined)(`a figure (${NO_BROWSER ?? 'browser'})`, () => {
  let here: PageHere;
  beforeAll(async () => {
    here = (await pageToLookAt()).here;
  });
  afterAll(() => here?.end());

  it('is planned from its shapes, and a mixed batch leaves the stock', async () => {
    const page = await here.open({ width: 390, height: 844 });
    await page.goto(`${here.run.server.url}/stock?view=figures`);
    await page.getByRole('button', { name: 'Plan a figure' }).click();
    await page.getByLabel('Name', { exact: true }).fill('Three urchins');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByRole('heading', { name: 'Three urchins' }).waitFor();
    await page.getByRole('button', { name: 'Add a shape' }).click();
    await page.getByLabel('Shape', { exact: true }).selectOption('ball');
    await page.getByLabel('How many').fill('3');
    await page.getByLabel('Diameter, mm').fill('-4');
    await page.getByRole('button', { name: 'Choose a mix', exact: true }).click();
    await page.locator('.clay-choices button').first().click();
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText('The diameter of a ball cannot be -4.').waitFor();
    await page.getByLabel('Diameter, mm').fill('20');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    const batches = page.getByRole('list', { name: 'Batches' });
    await batches.waitFor();
    expect(
      await page.getByRole('list', { name: 'Blocks' }).locator('> li').count(),
    ).toBeGreaterThan(0);
    const entries = async () =>
      (await here.client.call('listRecords', { query: { kind: 'stock-entry', limit: 500 } })).body
        .total;
    const before = await entries();
    await batches
      .getByRole('button', { name: /^Mark .* as mixed$/ })
      .last()
      .click();
    await batches.getByText('Mixed', { exact: true }).waitFor();
    expect(await entries()).toBeGreaterThan(before);
    const mixed = page.getByRole('list', { name: 'Mixed batches' });
    await mixed.getByText(/^From /).waitFor();
    await page.getByRole('button', { name: 'The figure is finished' }).click();
    await page.getByText(/^made on /).waitFor();
    await page.goto(`${here.run.server.url}/buying`);
    await page.getByLabel('Colours for').selectOption({ label: 'Figure: Three urchins' });
    await page.getByText('Every colour of this figure is mixed already.').waitFor();
    expect(here.complaints).toEqual([]);
    await page.context().close();
  });

  it('says how many coats hide a painted part, and refuses half a coat', async () => {
    const page = await here.open({ width: 1440, height: 900 });
    await page.goto(`${here.run.server.url}/figures/fig-weed`);
    await page.getByRole('button', { name: 'Edit Fronds' }).click();
    await page.getByRole('button', { name: 'Choose a mix to paint it like' }).click();
    await page.locator('.clay-choices button').first().click();
    await page.getByLabel('Coats of paint').fill('0.5');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText('Type the coats of paint, 1 to 20').waitFor();
    await page.getByLabel('Coats of paint').fill('');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText(/^Fronds: .*coats? of .* hide the clay: \d+ cm2/).waitFor();
    expect(here.complaints).toEqual([]);
    await page.context().close();
  });

  it('has a buying list for the colours of a figure, with the grams of its shapes', async () => {
    const page = await here.open({ width: 390, height: 844 });
    await page.goto(`${here.run.server.url}/buying`);
    await page.getByLabel('Colours for').selectOption({ label: 'Figure: Sea slug in the weed' });
    const colours = page.getByRole('list', { name: 'Colours' });
    await colours.getByText('Sea moss K7', { exact: true }).waitFor();
    expect(await page.getByLabel('Grams of each colour').count()).toBe(0);

    // The command line and the API give the same list, and the figure itself says how much it needs.
    const at = [
      '--book',
      '--folder',
      here.run.folder,
      '--figure',
      'Sea slug in the weed',
      '--json',
    ];
    const typed = await callHere(['buying-list', ...at]);
    expect(typed.err).toBe('');
    const list = JSON.parse(typed.out);
    const planned = JSON.parse((await callHere(['figure', ...at])).out);
    const needs = (of: readonly { colour: string; grams: number }[]) =>
      of.map((one) => [one.colour, one.grams]);
    expect(needs(list.colours)).toEqual(needs(planned.colours));
    const models = await here.client.call('listRecords', { query: { kind: 'clay-model' } });
    const job = await done(here.client, {
      do: 'buying-list',
      clayModelId: models.body.records[0]?.id,
      plan: { figure: 'Sea slug in the weed' },
    });
    const answered = job.result as unknown as BuyingListAnswer;
    const partsOf = (recipe: BuyingListAnswer['colours'][number]['recipe'] = []) =>
      Object.fromEntries(recipe.map(({ clay, parts }) => [clay, parts]));
    expect({
      ...answered,
      colours: answered.colours.map((one) => ({ ...one, recipe: partsOf(one.recipe) })),
    }).toEqual(list);
    const bought = page.getByRole('list', { name: 'Packages to buy' });
    expect(await bought.locator('b').allTextContents()).toEqual(
      answered.buy.map(({ clay }) => clay),
    );
    const sizes = (await bought.locator('p').allTextContents()).join(' ');
    for (const { packages, packageG, usedG } of answered.buy) {
      const counted = `${packages} package${packages === 1 ? '' : 's'}`;
      expect(sizes).toContain(`${counted} of ${massInWords(packageG, USUAL_UNITS)}`);
      expect(sizes).toContain(`${massInWords(usedG, USUAL_UNITS)} for`);
    }
    expect(await colours.locator('b').allTextContents()).toEqual(
      answered.colours.map(({ colour }) => colour),
    );
    for (const [place, { recipe = [] }] of answered.colours.entries()) {
      const pieces = await colours
        .locator('> li')
        .nth(place)
        .locator('.pieces-said')
        .allTextContents();
      expect(pieces.map((words) => words.trim()).sort()).toEqual(
        recipe.map(({ clay, parts }) => `${parts} ${clay}`).sort(),
      );
    }
    expect(answered.packages).toBeGreaterThan(0);
    expect(here.complaints).toEqual([]);
    await page.context().close();
  });

  it('has a buying list for the colours of a palette, also without a block', async () => {
    const page = await here.open({ width: 1440, height: 900 });
    await page.goto(`${here.run.server.url}/stock`);
    await page.getByRole('link', { name: 'Buying list' }).click();
    const colours = page.getByRole('list', { name: 'Colours' });
    await colours.waitFor();
    // Of one wanted colour no clay comes close.
    await colours.getByText('Nothing you would buy comes close enough.').waitFor();
    const buy = page.getByRole('list', { name: 'Packages to buy' });
    const [first] = await buy.locator('b').allTextContents();
    await page.getByRole('button', { name: `The list without ${first}` }).click();
    await page.getByRole('button', { name: `${first} may be bought again` }).waitFor();
    await page.locator('.buying[data-old="false"]').waitFor();
    expect(await buy.locator('b').allTextContents()).not.toContain(first);
    const cost = page.getByRole('list', { name: 'Closer or cheaper' });
    await cost.getByRole('button', { name: /^Same family/ }).click();
    await cost.locator('[aria-pressed="true"]', { hasText: 'Same family' }).waitFor();
    // A mix that was only tried counts too, one that is retired does not.
    const [sea] = (await here.client.call('listRecords', { query: { kind: 'mix' } })).body.records;
    if (sea?.kind !== 'mix') throw new Error('The tide-pool book has mixes.');
    const { code: _, ...body } = sea.body;
    const named = (name: string, status: 'test' | 'retired') =>
      make('mix', { ...body, name, status }, `buying-${status}`);
    await here.client.call('makeChange', {
      body: {
        what: 'Added two mixes',
        steps: [named('Tried once', 'test'), named('Long retired', 'retired')],
      },
    });
    await page.getByLabel('Colours for').selectOption('Every saved mix');
    await page.getByRole('heading', { name: /^Saved mixes: (buy \d+|nothing to buy)/ }).waitFor();
    await colours.getByText('Sea moss').waitFor();
    await colours.getByText('Tried once', { exact: true }).waitFor();
    expect(await colours.getByText('Long retired').count()).toBe(0);
    await page.getByLabel('Grams of each colour').fill('40');
    await page.getByText('More choices').click();
    await page.getByLabel('Lost in the work, %').fill('95');
    await page.getByText('A number from 0 to 90.').waitFor();
    await page.getByLabel('Lost in the work, %').fill('10');
    await page.getByRole('radio', { name: 'Fewest packages' }).click();
    await page.locator('.buying[data-old="false"]').waitFor();
    await page.getByLabel('Grams of each colour').fill('-5');
    await page.getByText('A number from 1 to 100,000.').waitFor();
    expect(here.complaints).toEqual([]);
    await page.context().close();
  });
});
