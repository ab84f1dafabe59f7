import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { NO_BROWSER, type PageHere } from './page.ts';
import { pageToLookAt, settled } from './screens.ts';

let here: PageHere;
let mix = '';
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  ({ here, mix } = await pageToLookAt());
});
afterAll(async () => {
  await here?.end();
});

const PHONE = { width: 360, height: 740 };
/** The colour of the rails a tile stands between; `none` where they are not drawn. */
const railsOf = (page: Page, name: string) =>
  page.evaluate(`(() => {
    const look = getComputedStyle(document.querySelector('[aria-label^="${name},"] > .block-left'), '::after');
    const none = look.content === 'none' || look.borderTopColor === 'rgba(0, 0, 0, 0)';
    return none ? 'none' : look.borderTopColor;
  })()`) as Promise<string>;

describe.skipIf(NO_BROWSER !== undefined)(
  `what the page tells where it stands (${NO_BROWSER ?? 'browser'})`,
  () => {
    it('says of a hatched tile that it has no colour, to eyes and ears', async () => {
      const page = await here.open();
      await here.client.call('makeRecord', {
        body: {
          kind: 'block',
          id: 'unmeasured',
          body: { lineId: 'brindle', name: 'Sponge', clayType: 'opaque', status: 'current' },
        },
      });
      const { body } = await here.client.call('makeRecord', {
        body: {
          kind: 'mix',
          body: {
            name: 'Of a new block',
            basis: 'volume',
            status: 'idea',
            parts: [{ of: { kind: 'block', id: 'unmeasured' }, parts: 2 }],
          },
        },
      });
      for (const path of ['/book', '/book?as=table', `/book/${body.id}`]) {
        await page.goto(`${here.run.server.url}${path}`);
        const name = /^(?:Of a new block|Predicted): no colour yet/;
        const tile = page.getByRole('img', { name }).first();
        await tile.getByText('no colour yet').waitFor();
      }
      await page.getByText('2 Sponge, no colour yet').waitFor();
      await page.context().close();
    });

    it('shows a colour like its ground between two rails, on that ground alone', async () => {
      const page = await here.open({ surround: 'mid' });
      const block = (name: string, l: number) => [
        {
          do: 'put',
          kind: 'block',
          id: `own-${name.toLowerCase()}`,
          body: { lineId: 'brindle', name, clayType: 'opaque', status: 'current' },
        },
        {
          do: 'put',
          kind: 'reading',
          id: `own-${name.toLowerCase()}-read`,
          body: {
            of: { kind: 'block', id: `own-${name.toLowerCase()}` },
            readingKind: 'measured',
            state: 'baked',
            lab: { values: [l, -0.5, -1], light: 'D50', observer: 2 },
            spread: 0.5,
            geometry: 'excluded',
          },
        },
      ];
      // The mid ground is L* 70, the light one 94.
      const steps = [...block('Tern', 68), ...block('Spume', 95), ...block('Slate', 40)];
      await here.client.call('makeChange', {
        body: { what: 'Three greys', steps: steps as never },
      });
      await page.goto(`${here.run.server.url}/stock`);
      await page
        .getByRole('img', { name: /^Tern, .*gr[ae]y/ })
        .first()
        .waitFor();
      // L* 35 of the edge on the mid ground.
      expect(await railsOf(page, 'Tern')).toBe('rgb(82, 82, 82)');
      expect(await railsOf(page, 'Spume')).toBe('none');
      expect(await railsOf(page, 'Slate')).toBe('none');
      await page.evaluate(`document.documentElement.dataset.surround = 'light'`);
      expect(await railsOf(page, 'Tern')).toBe('none');
      expect(await railsOf(page, 'Spume')).not.toBe('none');
      await page.context().close();
    });

    it('lets no screen end below the line at its foot, and lays the line away by its name', async () => {
      const page = await here.open(PHONE);
      await page.goto(`${here.run.server.url}/book/${mix}`);
      await page.getByRole('button', { name: 'Edit' }).click();
      await page.getByLabel('Note').fill('a longer notice at the foot');
      await page.getByRole('button', { name: 'Save changes' }).click();
      const line = page.locator('.notice');
      await line.getByRole('button', { name: 'Undo' }).waitFor();
      await page.evaluate('window.scrollTo(0, document.documentElement.scrollHeight)');
      const last = (await page.locator('main').boundingBox())!;
      const answer = (await line.boundingBox())!;
      const places = (await page.getByRole('navigation', { name: 'Screens' }).boundingBox())!;
      expect(last.y + last.height).toBeLessThanOrEqual(answer.y + 1);
      expect(answer.y + answer.height).toBeLessThanOrEqual(places.y + 1);
      await line.getByRole('button', { name: 'Dismiss' }).click();
      await expect.poll(async () => (await line.boundingBox())?.height ?? 0).toBe(0);
      await page.context().close();
    });

    it('has the name again that was typed for a recipe before the back button', async () => {
      const page = await here.open();
      await page.goto(`${here.run.server.url}/stock`);
      await page.goto(`${here.run.server.url}/find?aim=52_-18_22&called=Sea+moss`);
      const keep = page.getByRole('button', { name: 'Save this mix' });
      await settled(page);
      await keep.click();
      await page.getByLabel('Name').fill('Gully green');
      await page.getByLabel('Tags').fill('weeds');
      // Back closes the dialog first, and then leaves the page.
      await page.goBack();
      await page.getByRole('dialog').waitFor({ state: 'detached' });
      await page
        .getByRole('heading', { name: 'Stock', exact: true })
        .waitFor({ state: 'detached' });
      await page.goBack();
      await page.getByRole('heading', { name: 'Stock', exact: true }).waitFor();
      await page.goForward();
      await settled(page);
      await keep.click();
      await expect.poll(() => page.getByLabel('Name').inputValue()).toBe('Gully green');
      expect(await page.getByLabel('Tags').inputValue()).toBe('weeds');
      // Another recipe begins without it.
      await page.goto(`${here.run.server.url}/find?aim=40_40_20`);
      await settled(page);
      await keep.click();
      expect(await page.getByLabel('Name').inputValue()).toBe('');
      await page.context().close();
    });

    it('is dark from the first paint where dark is chosen, before its program has come', async () => {
      const page = await here.open({ frame: 'dark' });
      await page.route('**/assets/*.js', () => {});
      await page.goto(here.run.server.url, { waitUntil: 'commit' });
      const ground = () =>
        page.evaluate('getComputedStyle(document.documentElement).backgroundColor');
      await expect.poll(ground).toBe('rgb(24, 24, 24)');
      await page.context().close();
    });
  },
);
