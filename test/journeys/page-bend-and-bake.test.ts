import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { LABEL_FIRST } from '../../src/domain/cautions.ts';
import { ofKind } from '../../src/domain/records/of-kind.ts';
import { NO_BROWSER, type PageHere, pageHere } from './page.ts';
import { settled } from './screens.ts';

let here: PageHere;
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  here = await pageHere();
  const line = (name: string, bakeLowC: number, bakeHighC: number) =>
    here.client.call('makeRecord', {
      body: {
        kind: 'line',
        body: { name, bakeLowC, bakeHighC, minutesPer6Mm: 20, status: 'current' },
      },
    });
  await line('Saltmarsh', 120, 135);
  await line('Brindle', 125, 145);
});
afterAll(async () => {
  await here?.end();
});

const url = (path: string) => `${here.run.server.url}${path}`;

/** A tablet without a mouse. */
async function tablet(): Promise<Page> {
  const context = await here.browser.newContext({
    viewport: { width: 820, height: 1180 },
    hasTouch: true,
    reducedMotion: 'reduce',
    serviceWorkers: 'block',
  });
  return here.open({ context });
}

const tests = async () =>
  ofKind(
    (await here.client.call('listRecords', { query: { kind: 'bend-test', limit: 500 } })).body
      .records,
    'bend-test',
  );

describe.skipIf(NO_BROWSER !== undefined)(
  `thin parts and the oven (${NO_BROWSER ?? 'browser'})`,
  () => {
    it('plans a set, takes 12 results one tap each, and says whether a petal holds', async () => {
      const page = await tablet();
      await page.goto(url('/bend-tests'));
      await page.getByText('nobody can say').waitFor();
      await page.getByRole('button', { name: 'Plan bend tests' }).tap();
      await page.getByLabel('Strong line', { exact: true }).selectOption({ label: 'Saltmarsh' });
      await page.getByLabel('Mixed with').selectOption({ label: 'Brindle' });
      await page.getByLabel('Name of the bake').fill('Monday');
      await page.getByRole('button', { name: 'Plan them' }).tap();
      await page.getByRole('button', { name: '0 %, strip 3: to do', exact: true }).waitFor();
      expect(await tests()).toHaveLength(15);

      const cut = page.getByRole('region', { name: 'What to cut' });
      await cut.getByText('Cut 15 strips of 1.5 x 10 x 60 mm').waitFor();
      await cut.getByText('3 of 12 % Saltmarsh: 1 part Saltmarsh and 7 parts Brindle').waitFor();
      await page.getByText('Came back straight, age and room').tap();
      await page.getByRole('radio', { name: 'Yes', exact: true }).tap();
      await page.getByLabel('Hours since the bake').fill('24');

      const taps = [
        ...['No mark', 'No mark', 'No mark'],
        ...['No mark', 'Fades', 'No mark'],
        ...['Fades', 'Fades', 'Stays'],
        ...['Crack', 'Crack', 'Break'],
      ];
      const results = page.getByRole('region', { name: 'Result' });
      for (const [i, tap] of taps.entries()) {
        await results.getByRole('button', { name: tap }).tap();
        // The next strip waits for its result by itself.
        const next = `${[100, 50, 25, 12, 0][Math.floor((i + 1) / 3)]} %, strip ${((i + 1) % 3) + 1}`;
        await results.getByText(`${next}.`, { exact: true }).waitFor();
      }
      const saved = await tests();
      expect(saved.filter(({ body }) => body.result !== undefined)).toHaveLength(taps.length);
      expect(saved.filter(({ body }) => body.bakeName === 'Monday')).toHaveLength(15);
      const seen = saved.filter(({ body }) => body.cameBackStraight && body.ageHours === 24);
      expect(seen).toHaveLength(taps.length);
      await page.getByRole('button', { name: '100 %, strip 1: no mark, straight' }).waitFor();

      const holding = page.getByRole('region', { name: 'Will this part hold?' });
      await holding.getByText('results at least as hard held').waitFor();
      expect(await holding.locator('.petals').getAttribute('aria-label')).toMatch(
        /^\d+ of 10 hold$/,
      );
      await holding.getByLabel('Push at its end, mm').fill('');
      await holding.getByText('How far is missing').waitFor();
      await holding.getByLabel('Push at its end, mm').fill('6');
      await holding.getByText('results at least as hard held').waitFor();
      await holding.getByLabel('What it must take').selectOption({ index: 1 });
      await holding.getByText('results at least as hard held').waitFor();
      await holding
        .getByText('bent as hard as strip 1.5 x 10 x 60 mm')
        .waitFor({ state: 'attached' });
      expect(await page.getByText(LABEL_FIRST).count()).toBeGreaterThan(0);
      expect(await page.getByText('safe as a toy').count()).toBeGreaterThan(0);
    });

    it('says what helped a sticky mix, and goes from a mix to the same colour, stronger', async () => {
      const made = async (kind: string, body: object) =>
        (await here.client.call('makeRecord', { body: { kind, body } as never })).body.id;
      const lines = ofKind(
        (await here.client.call('listRecords', { query: { kind: 'line', limit: 10 } })).body
          .records,
        'line',
      );
      const lineOf = (name: string) => lines.find(({ body }) => body.name === name)?.id;
      const kelp = await made('block', {
        name: 'Kelp',
        lineId: lineOf('Saltmarsh'),
        clayType: 'opaque',
        status: 'current',
      });
      const dulse = await made('block', {
        name: 'Dulse',
        lineId: lineOf('Brindle'),
        clayType: 'opaque',
        status: 'current',
      });
      const part = (id: string, parts: number) => ({ of: { kind: 'block', id }, parts });
      const mix = await made('mix', {
        name: 'Shore',
        basis: 'volume',
        parts: [part(kelp, 1), part(dulse, 9)],
        wanted: { lab: [60, 20, 30] },
        status: 'saved',
      });
      const page = await tablet();
      await page.goto(url(`/book/${mix}`));
      await settled(page);
      const handling = page.getByRole('region', { name: 'Handling' });
      await handling.getByRole('button', { name: 'Add a note' }).tap();
      await handling.getByText('sticky', { exact: true }).tap();
      await handling.getByText('rested', { exact: true }).tap();
      await handling.getByLabel('Hours of rest').fill('10');
      await handling.getByRole('radio', { name: 'It helped' }).tap();
      await handling.getByRole('button', { name: 'Save note' }).tap();
      await handling.getByText('sticky; rested 10 hours (helped)').waitFor();

      await page.getByText('instead of 10 %').waitFor();
      await page.getByRole('link', { name: /^The same, stronger: at least \d+ % Saltmarsh/ }).tap();
      await page.waitForURL('**/other-clays?**');
      const asked = new URL(page.url()).searchParams;
      expect(asked.get('least')).toBe(lineOf('Saltmarsh'));
      expect(Number(asked.get('share')?.replaceAll('"', ''))).toBeGreaterThan(0.1);
    });

    it('plans a bake of two lines on a tile, with the dial once the oven was checked', async () => {
      const page = await tablet();
      await page.goto(url('/bake'));
      await settled(page);
      await page.getByText('Saltmarsh', { exact: true }).tap();
      await page.getByText('Brindle', { exact: true }).tap();
      const plan = page.getByRole('region', { name: 'Plan' });
      await plan.getByText('125 to 135 °C suits all packets').waitFor();
      await plan.getByText('This oven was never checked').waitFor();
      await plan.getByText('on a ceramic tile').waitFor();
      expect(await page.getByText('open the windows').count()).toBeGreaterThan(0);

      await page.getByRole('button', { name: 'Check the oven' }).tap();
      await page.getByLabel('Dial, °C').fill('130');
      await page
        .getByLabel('Minute and thermometer, °C')
        .fill('0 20\n5 100\n10 136\n15 142\n20 138\n25 142\n30 138');
      await page.getByRole('button', { name: 'Save' }).tap();
      await plan.getByText('Set Oven to').waitFor();
      await page.getByText('hotter than its dial').waitFor();
      await page.getByLabel('Thickest part, mm').fill('');
      await page.getByText('Choose the lines in the figure.').waitFor();
      expect(here.complaints).toEqual([]);
    });
  },
);
