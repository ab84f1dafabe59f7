import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ofKind } from '../../src/domain/records/of-kind.ts';
import type { MendAnswer } from '../../src/verbs/mend.ts';
import { done } from '../server/running.ts';
import { NO_BROWSER, type PageHere, pageHere, tidePoolBook } from './page.ts';
import { settled } from './screens.ts';

let here: PageHere;
let mix = '';
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  here = await pageHere(await tidePoolBook());
  const made = await here.client.call('makeRecord', {
    body: {
      kind: 'mix',
      body: {
        name: 'Sea moss',
        basis: 'volume',
        status: 'test',
        parts: [
          { of: { kind: 'block', id: 'kelp' }, parts: 5 },
          { of: { kind: 'block', id: 'limpet' }, parts: 2 },
        ],
      },
    },
  });
  mix = made.body.id;
});
afterAll(async () => {
  await here?.end();
});

const url = (path: string) => `${here.run.server.url}${path}`;
const phone = () => here.open({ width: 390, height: 844 });
const mixesOf = async () =>
  ofKind(
    (await here.client.call('listRecords', { query: { kind: 'mix', limit: 500 } })).body.records,
    'mix',
  );
const idInAddress = (page: Page) => new URL(page.url()).pathname.split('/').at(-1)!;
const sum = (parts: readonly { readonly parts: number }[]) =>
  parts.reduce((all, one) => all + one.parts, 0);

describe.skipIf(NO_BROWSER !== undefined)(`a lump on the page (${NO_BROWSER ?? 'browser'})`, () => {
  it('mends as the server does, saves the lump with its history, and takes that back', async () => {
    const page = await phone();
    await page.goto(url(`/mend?mix=${mix}&aim=45_-8_24&called=Moss`));
    await settled(page);
    const job = await done(here.client, {
      do: 'mend',
      clayModelId: (await here.client.call('listRecords', { query: { kind: 'clay-model' } })).body
        .records[0].id,
      lump: {
        recipe: [
          { clay: 'Kelp', parts: 5 },
          { clay: 'Limpet', parts: 2 },
        ],
        words: '5 Kelp + 2 Limpet',
      },
      amount: 7,
      aim: [45, -8, 24],
    });
    const answer = job.result as unknown as MendAnswer;
    const shown = await page.locator('.mend-additions .came-head').allInnerTexts();
    expect(shown).toEqual(
      answer.additions.map(({ add }) =>
        add.map(({ clay, parts }) => `${count(parts)} ${clay}`).join(' + '),
      ),
    );
    await page.getByRole('button', { name: 'I will add these' }).click();
    await page.getByRole('heading', { name: 'How did it come out?' }).waitFor();
    const mended = (await mixesOf()).find(({ body }) => body.cameFromId === mix);
    const chosen = answer.additions[answer.recommended ?? 0];
    expect(sum(mended?.body.parts ?? [])).toBeCloseTo(7 + sum(chosen.add), 3);
    expect(mended?.body.note).toMatch(/^Mended: /);
    await page.getByRole('button', { name: 'Undo' }).click();
    await expect
      .poll(async () => (await mixesOf()).some(({ id }) => id === mended?.id))
      .toBe(false);
    await page.context().close();
  });

  it('says what is missing, refuses a size that is no number, and works from the colour alone', async () => {
    const page = await phone();
    await page.goto(url('/mend?aim=45_-8_24'));
    await page.getByText('Say what is in the lump, or how it looks.').waitFor();
    await page.getByLabel('Size of the lump now').fill('a handful');
    await page.getByText('Please type a number above 0').waitFor();
    await page.getByLabel('Size of the lump now').fill('24,5');
    await page.getByLabel('Counted in').selectOption('g');
    await page.getByRole('button', { name: 'Use this colour' }).first().click();
    await settled(page);
    expect(await page.locator('.mend-additions li').count()).toBeGreaterThan(0);
    await page.context().close();
  });

  it('asks how it came out at the end of mixing, and right opens the tile to add', async () => {
    const page = await phone();
    await page.goto(url(`/book/${mix}/mixing`));
    await page.getByText('pieces of Kelp').waitFor();
    for (let i = 0; i < 5; i++) await page.getByRole('button', { name: 'Next' }).click();
    await page.getByText('How did it come out?').waitFor();
    await page.getByRole('button', { name: /^Right|Right$|Right Save/ }).click();
    await page.getByRole('dialog', { name: /Tile of Sea moss/ }).waitFor();
    const record = (await here.client.call('getRecord', { params: { id: mix } })).body;
    expect(record.body).toMatchObject({ status: 'saved' });
    await page.context().close();
  });

  it('rolls test balls, goes back a round, and saves the ball that looks the same as a reading by eye', async () => {
    const page = await phone();
    await page.goto(url('/try?aim=48_-10_22'));
    await page.getByText('Which ball is closest?').waitFor();
    await page.getByRole('button', { name: /Ball B/ }).click();
    await page.getByRole('button', { name: 'lighter' }).click();
    await page.getByRole('button', { name: 'darker', exact: true }).click();
    // Two ends of one direction exclude each other.
    expect(await page.getByRole('button', { name: 'lighter' }).getAttribute('aria-pressed')).toBe(
      'false',
    );
    await page.getByRole('radio', { name: 'clearly darker' }).click();
    await page.getByRole('button', { name: 'Next three' }).click();
    await page.getByText('Round 2 of about 3').waitFor();
    await settled(page);
    // What was judged is there again after the phone lost the page.
    await page.reload();
    await page.getByText('Round 2 of about 3').waitFor();
    await page.getByRole('button', { name: 'Back to round 1' }).click();
    await page.getByText('Round 1 of about 3').waitFor();
    await settled(page);
    await page.getByRole('button', { name: /Ball A/ }).click();
    await page.getByRole('button', { name: 'no difference' }).click();
    await page.getByRole('button', { name: 'Good enough, save A' }).click();
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.waitForURL(/\/book\/./);
    const id = idInAddress(page);
    await expect
      .poll(async () => {
        const { body } = await here.client.call('listRecords', {
          query: { kind: 'tile', uses: id },
        });
        return body.total;
      })
      .toBe(1);
    const colours = (await here.client.call('colours', { query: { of: [id] } })).body.colours;
    expect(colours[0]).toMatchObject({ readingKind: 'by eye', lab: [48, -10, 22] });
    await page.context().close();
  });

  it('lays out even steps in whole pieces, and saves those between', async () => {
    const page = await phone();
    const before = (await mixesOf()).length;
    await page.goto(url('/even-steps?from=block+kelp&to=white'));
    await page.getByText(/Every step looks equal|The steps are not equal/).waitFor();
    expect(await page.locator('.steps-strip').first().locator('.tile').count()).toBe(5);
    await page.getByRole('button', { name: 'More: Steps' }).click();
    await page.getByRole('button', { name: 'Save 4 mixes' }).click();
    await expect.poll(async () => (await mixesOf()).length).toBe(before + 4);
    // A mix is cut as a mix: nobody cuts hundreds of pieces of the clays in it.
    await page.goto(url(`/even-steps?from=mix+${mix}&to=white`));
    await page.getByText(/^Equal pieces in all: \d+ of .+, \d+ of white\.$/).waitFor();
    await page.context().close();
  });

  it('makes the steps of a strong colour equal with a pre-mix, and saves both', async () => {
    const page = await phone();
    const before = (await mixesOf()).length;
    await page.goto(url('/even-steps?from=block+limpet&to=white'));
    await page.getByText('The steps are not equal').waitFor();
    await page.getByRole('button', { name: 'Make them equal, with a pre-mix' }).click();
    await page.getByText('Every step looks equal').waitFor();
    const [, ratio] = /First make a pre-mix of (.+?),/.exec(
      (await page.locator('[aria-label="How even"]').textContent()) ?? '',
    )!;
    await settled(page);
    await page.getByRole('button', { name: 'Save 4 mixes' }).click();
    await expect.poll(async () => (await mixesOf()).length).toBe(before + 4);
    const made = (await mixesOf()).filter(({ body }) => body.name?.startsWith('Limpet to '));
    const preMix = made.find(({ body }) => body.name?.endsWith('pre-mix'))!;
    const counts = preMix.body.parts.map(({ parts }) => String(parts));
    expect(counts.sort()).toEqual(ratio!.match(/\d+/g)!.sort());
    const through = made.filter(({ body }) => body.parts.some(({ of }) => of.id === preMix.id));
    expect(through.length).toBeGreaterThan(0);
    await page.getByRole('button', { name: 'Undo' }).first().click();
    await expect.poll(async () => (await mixesOf()).length).toBe(before);
    await page.getByRole('button', { name: 'Without a pre-mix' }).click();
    await page.getByText('The steps are not equal').waitFor();
    await page.context().close();
  });

  it('works out a recipe with the clays of one line, and without a clay', async () => {
    const page = await phone();
    await page.goto(url(`/other-clays?mix=${mix}`));
    const line = page.locator('.others-lines label').first();
    const name = ((await line.textContent()) ?? '').trim();
    await line.click();
    await settled(page);
    await page.getByRole('button', { name: 'Save this recipe: Sea moss with other clays' }).click();
    await page.waitForURL(/\/book\/./);
    const made = (await mixesOf()).find(({ id }) => id === idInAddress(page));
    expect(made?.body.cameFromId).toBe(mix);
    for (const { of } of made?.body.parts ?? []) {
      const block = (await here.client.call('getRecord', { params: { id: of.id } })).body;
      const own = (
        await here.client.call('getRecord', {
          params: { id: (block.body as { lineId: string }).lineId },
        })
      ).body;
      expect(own.body).toMatchObject({ name });
    }
    await page.context().close();
  });

  it('says nothing wrong on the console', () => {
    expect(here.complaints).toEqual([]);
  });
});

/** As the page writes a count of pieces. */
function count(parts: number): string {
  const whole = Math.floor(parts);
  const rest = { 0: '', 0.25: '¼', 0.5: '½', 0.75: '¾' }[parts - whole];
  return `${whole === 0 && rest !== '' ? '' : whole}${rest}`;
}
