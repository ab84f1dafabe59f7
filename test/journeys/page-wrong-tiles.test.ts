import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { running } from '../server/running.ts';
import { learnTidePool, NO_BROWSER, type PageHere, pageHere, tidePool } from './page.ts';

/** Two tiles whose readings were exchanged: a pale blue and a pale red. */
const SWAPPED = ['lagoon-2-6', 'anemone-2-15'] as const;

let here: PageHere;
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  const folder = mkdtempSync(join(tmpdir(), 'kneadwell-wrong-tiles-'));
  const run = await running({}, folder);
  await tidePool(run.client);
  await exchange(run.client);
  await learnTidePool(run.client);
  await run.end(true);
  here = await pageHere(folder);
});
afterAll(async () => {
  await here?.end();
});

const readingOf = async (client: PageHere['client'], tile: string) => {
  const { body } = await client.call('listRecords', {
    query: { kind: 'reading', uses: tile, role: 'of' },
  });
  return body.records.find(({ id }) => SWAPPED.some((one) => id === `${one}-read`))!;
};

async function exchange(client: PageHere['client']): Promise<void> {
  const [one, other] = await Promise.all(SWAPPED.map((tile) => readingOf(client, tile)));
  const put = (reading: typeof one, of: string) => ({
    do: 'put',
    kind: 'reading',
    id: reading.id,
    version: reading.version,
    body: { ...reading.body, of: { kind: 'tile', id: of } },
  });
  await client.call('makeChange', {
    body: { what: 'Mixed up', steps: [put(one, SWAPPED[1]), put(other, SWAPPED[0])] as never },
  });
}

/** Which reading each of the two tiles has. */
const held = () =>
  Promise.all(SWAPPED.map(async (tile) => (await readingOf(here.client, tile)).id));
const MIXED_UP = [`${SWAPPED[1]}-read`, `${SWAPPED[0]}-read`];
const RIGHT = [`${SWAPPED[0]}-read`, `${SWAPPED[1]}-read`];

async function onPhone(): Promise<Page> {
  const context = await here.browser.newContext({
    viewport: { width: 390, height: 844 },
    hasTouch: true,
    reducedMotion: 'reduce',
  });
  const page = await here.open({ context });
  await page.goto(`${here.run.server.url}/clay-model`);
  await page.getByRole('heading', { name: 'Which tiles may be wrong?' }).waitFor();
  return page;
}

describe.skipIf(NO_BROWSER !== undefined)(
  `two tiles that were mixed up (${NO_BROWSER ?? 'browser'})`,
  () => {
    it('are named, exchanged with one tap, and mixed up again by Undo', async () => {
      const page = await onPhone();
      expect(await held()).toEqual(MIXED_UP);
      const take = page.getByRole('button', { name: /^Take it so: .*swapped/ }).first();
      expect((await take.boundingBox())!.height).toBeGreaterThanOrEqual(44);
      if (process.env.PICTURE !== undefined) await page.screenshot({ path: process.env.PICTURE });
      await take.tap();
      await expect.poll(held).toEqual(RIGHT);
      await page.getByText('These tiles have changed since the model was made.').waitFor();
      await page.getByRole('button', { name: 'Undo' }).first().tap();
      await expect.poll(held).toEqual(MIXED_UP);
      await page
        .getByRole('button', { name: /^Take it so: .*swapped/ })
        .first()
        .waitFor();
      await page.context().close();
    });

    it('stay as they are where the user says so', async () => {
      const page = await onPhone();
      await page.getByRole('button', { name: 'It is right as it is' }).tap();
      await page.getByText('These tiles have changed since the model was made.').waitFor();
      expect(await held()).toEqual(MIXED_UP);
      await page.getByRole('button', { name: 'Undo' }).first().tap();
      await page.getByRole('button', { name: 'It is right as it is' }).waitFor();
      expect(here.complaints).toEqual([]);
      await page.context().close();
    });
  },
);
