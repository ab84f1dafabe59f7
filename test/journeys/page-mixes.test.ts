import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { BodyOf } from '../../src/domain/records/record.ts';
import { block, mix, put } from '../conformance/book-maker.ts';
import { NO_BROWSER, type PageHere, pageHere, tidePoolBook } from './page.ts';

let here: PageHere;
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  here = await pageHere(await tidePoolBook());
  const steps = [
    put('powder', 'shimmer', { name: 'Shimmer', powderType: 'mica', status: 'current' }),
    mix('inner', [
      ['block', 'kelp', 2],
      ['block', 'foam', 1],
    ]),
    mix(
      'outer',
      [
        ['mix', 'inner', 3],
        ['block', 'foam', 1],
      ],
      { name: 'Wet moss', code: 'W1' },
    ),
    mix(
      'pearly',
      [
        ['block', 'kelp', 1],
        ['block', 'foam', 1],
      ],
      { name: 'Pearly', basis: 'weight', powders: [{ powderId: 'shimmer', share: 0.02 }] },
    ),
    put('reading', 'limpet-read', {
      of: { kind: 'block', id: 'limpet' },
      readingKind: 'by eye',
      state: 'baked',
      lab: { values: [62, 20, 14], light: 'D50', observer: 2 },
      spread: 4,
      geometry: 'excluded',
    }),
    block('other-kelp', 'brindle', { name: 'Kelp' }),
  ];
  await here.client.call('makeChange', { body: { what: 'Began', steps } });
});
afterAll(async () => {
  await here?.end();
});

describe.skipIf(NO_BROWSER !== undefined)(`mixes on the page (${NO_BROWSER ?? 'browser'})`, () => {
  it('shows the colour of a mix of mixes', async () => {
    const page = await here.open();
    await page.goto(`${here.run.server.url}/book/outer`);
    await page.getByText(/Predicted from your clays/).waitFor();
    await page.context().close();
  });

  it('says which clays a page of your own names besides those of the recipes', async () => {
    const page = await here.open();
    await page.goto(`${here.run.server.url}/share?mix=inner`);
    await page.getByRole('textbox', { name: 'Your name' }).fill('Ines Limpet');
    await page.getByRole('button', { name: 'Save' }).first().click();
    await page.getByText(/^2 clays by name/).waitFor();
    await page.getByText('So that readers can use other clays, this leaves too:').waitFor();
    await page.getByText(/^10 clays by name/).waitFor();
    await page.getByText(/^How 10 clays mix/).waitFor();
    await page.context().close();
  });

  it('shows a powder, says that it is not predicted, and has a step with its grams', async () => {
    const page = await here.open();
    await page.goto(`${here.run.server.url}/book/pearly`);
    await page.getByText('2 % Shimmer, by weight').waitFor();
    await page.getByText('The effect of Shimmer on the colour is not predicted.').waitFor();
    await page.goto(`${here.run.server.url}/book/pearly/mixing`);
    await page.getByLabel('Grams in one part').fill('9.8');
    await page.getByRole('button', { name: 'Next' }).click();
    await page.getByRole('button', { name: 'Next' }).click();
    await page.getByText('Work in 2 % Shimmer, 0.4 g').waitFor();
    await page.context().close();
  });

  it('never mixes a block from itself', async () => {
    const page = await here.open();
    await page.goto(`${here.run.server.url}/stock`);
    await page
      .getByRole('button', { name: /Limpet/ })
      .first()
      .click();
    await page.getByRole('link', { name: 'Find a recipe from other clays' }).click();
    const recipe = page.locator('.recipe').first();
    await recipe.waitFor();
    expect(await recipe.textContent()).not.toContain('Limpet');
    await page.context().close();
  });

  it('joins a second reading to the tile with its code, and bakes the tile', async () => {
    const page = await here.open();
    const read = async (state: string) => {
      await page.goto(`${here.run.server.url}/book/outer`);
      await page.getByRole('button', { name: 'Add a reading', exact: true }).click();
      const dialog = page.getByRole('dialog');
      await dialog.getByRole('radio', { name: state }).click();
      await dialog.getByRole('radio', { name: 'By numbers' }).click();
      await dialog.getByLabel('Colour', { exact: true }).fill('#7d9a6b');
      await dialog.getByRole('button', { name: 'Use this colour' }).click();
      await dialog.getByRole('button', { name: 'Save reading' }).click();
      await dialog.waitFor({ state: 'detached' });
    };
    await read('Raw');
    await read('Baked and cool');
    await read('Baked and cool');
    const { body } = await here.client.call('samples', { params: { id: 'outer' } });
    expect(body.tiles).toHaveLength(1);
    expect(body.readings).toHaveLength(3);
    expect((body.tiles[0].body as BodyOf<'tile'>).state).toBe('baked');
    await page.context().close();
  });

  it('asks once for every unknown letter, and takes no list of letters for a mix', async () => {
    const page = await here.open();
    await page.goto(`${here.run.server.url}/book/write`);
    const recipes = page.getByRole('textbox', { name: 'Recipes' });
    await recipes.fill('Z white, Q black\nDusk: 3Z : 1 Limpet\nDawn: half Z 2 Limpet');
    const result = page.getByRole('list', { name: 'Result' });
    await result.getByText('Letters: Z is white, Q is black').waitFor();
    const letter = page.getByRole('button', { name: /^Z is \(white\)/ });
    expect(await letter.count()).toBe(1);
    await letter.click();
    await page.getByRole('dialog').getByRole('button', { name: /^Foam/ }).click();
    await result.getByText('½ Foam, 2 Limpet').waitFor();
    await page.getByRole('button', { name: 'Save 2 recipes' }).click();
    await page.getByRole('button', { name: 'Save 0 recipes' }).waitFor();
    const { body } = await here.client.call('listRecords', { query: { kind: 'mix' } });
    const names = body.records.flatMap((record) => ('name' in record.body ? record.body.name : []));
    expect(names.filter((name) => name === 'Dusk' || name === 'Dawn').length).toBe(2);
    expect(names.filter((name) => name?.includes('white'))).toEqual([]);
    // The letter is a short name from now on.
    await page.goto(`${here.run.server.url}/stock?view=names`);
    await page.getByRole('button', { name: 'Remove the short name Z' }).waitFor();
    await page.context().close();
  });

  it('asks how much a pinch is, and writes the word into the note', async () => {
    const page = await here.open();
    await page.goto(`${here.run.server.url}/book/write`);
    const recipes = page.getByRole('textbox', { name: 'Recipes' });
    await recipes.fill('Rose: 3 Limpet 1 Foam a pinch of Limpet');
    await page.getByText('How much is “a pinch of”?').waitFor();
    expect(await page.getByRole('button', { name: 'Save 0 recipes' }).isDisabled()).toBe(true);
    await page.getByRole('button', { name: '0.1 part' }).click();
    await page.getByText('Note: written: a pinch of').waitFor();
    await recipes.fill('A12 ??? 3? Limpet 2 Foam');
    await page.getByText(/A question mark/).waitFor();
    await recipes.fill('');
    await page.context().close();
  });

  it('adds a tile without a colour, which opens and is edited', async () => {
    const page = await here.open();
    await page.goto(`${here.run.server.url}/tiles`);
    await page.getByRole('button', { name: 'Add a tile' }).click();
    await page
      .getByRole('dialog')
      .getByRole('button', { name: /^Limpet/ })
      .click();
    await page.getByRole('button', { name: 'Save without a colour' }).click();
    await page.getByRole('link', { name: /Limpet: no colour yet/ }).click();
    await page.getByText('Not read yet').waitFor();
    await page.getByRole('button', { name: 'Edit' }).click();
    await page.getByLabel('Minutes in the oven').fill('30');
    await page.getByText('cracked', { exact: true }).click();
    await page.getByRole('button', { name: 'Save changes' }).click();
    await page.getByText('baked, 30 min').waitFor();
    await page.getByText('cracked', { exact: true }).waitFor();
    await page.context().close();
  });

  it('asks which clay is meant, and takes the one that is chosen', async () => {
    const page = await here.open();
    await page.goto(`${here.run.server.url}/book/write`);
    await page.getByRole('textbox').first().fill('Q1: 3 Kelp 2%Shimmer');
    await page.getByText(/may mean/).waitFor();
    await page.getByRole('button', { name: 'Brindle Kelp', exact: true }).click();
    await page.getByText('3 Brindle Kelp, 2 % Shimmer').waitFor();
    expect(here.complaints).toEqual([]);
    await page.context().close();
  });
});
