import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ownCertificate } from '../server/certificate.ts';
import { type Running, running } from '../server/running.ts';
import {
  buildPage,
  launched,
  NO_BROWSER,
  type PageHere,
  pageHere,
  tidePool,
  tidePoolBook,
} from './page.ts';
import { settled } from './screens.ts';

let here: PageHere;
let run: Running;
const folders: string[] = [];
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  here = await pageHere(await tidePoolBook());
  run = here.run;
  await run.client.call('makeRecord', {
    body: {
      kind: 'mix',
      body: {
        code: 'K7',
        name: 'Sea moss',
        basis: 'volume',
        status: 'saved',
        note: 'paler after baking',
        parts: [
          { of: { kind: 'block', id: 'kelp' }, parts: 5 },
          { of: { kind: 'block', id: 'limpet' }, parts: 2 },
        ],
      },
    },
  });
});
afterAll(async () => {
  if (here === undefined) return;
  if (run !== here.run) await run.end(true);
  await here.end();
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

const AWAY = /No connection to Kneadwell/;
const WEIGHED = /^All .* recipes checked/;
const url = (path: string) => `${here.run.server.url}${path}`;
const mixesCalled = async (name: string) => {
  const { body } = await run.client.call('listRecords', { query: { kind: 'mix', limit: 500 } });
  return body.records.filter((one) => one.kind === 'mix' && one.body.name === name).length;
};

/** Ends the program, and starts it again at the same address; with the same book and page, or others. */
const stop = () => run.end(true);
async function start(folder = here.run.folder, page = here.page): Promise<void> {
  run = await running({ page, port: here.run.server.port }, folder);
}

/** What the browser keeps: names of its caches, and addresses in them. */
function kept(page: Page): Promise<Record<string, string[]>> {
  return page.evaluate(`(async () => {
    const found = {};
    for (const name of await caches.keys()) {
      const all = await (await caches.open(name)).keys();
      found[name] = all.map(({ url }) => url);
    }
    return found;
  })()`);
}

/** Until the page has cached everything it caches on its own. */
async function cachedAt(page: Page): Promise<void> {
  await expect
    .poll(async () => {
      const all = Object.values(await kept(page)).flat();
      return ['/bytes', '/api/v1/stock', '/sheets/mixes', 'kind=mix&limit=500'].every((part) =>
        all.some((one) => one.includes(part)),
      );
    })
    .toBe(true);
}

describe.skipIf(NO_BROWSER !== undefined)(
  `the page without its program (${NO_BROWSER ?? 'browser'})`,
  () => {
    it('opens, reads the book and finds; keeps nothing by itself, and once when the program is back', async () => {
      const page = await here.open({ offline: true });
      await page.goto(url('/'));
      await page.getByRole('heading', { name: 'Your studio' }).waitFor();
      expect(await page.getByText(AWAY).count()).toBe(0);
      await cachedAt(page);
      await stop();

      await page.goto(url('/book'));
      await page.getByText(AWAY).waitFor();
      await page.getByText(/Last updated/).waitFor();
      await page
        .getByRole('link', { name: /Sea moss/ })
        .first()
        .click();
      await page.getByText('paler after baking').waitFor();
      await page.goto(url('/find?aim=56_-16_26&called=Sea+moss'));
      await page.getByText(WEIGHED).waitFor();
      await page.getByText(AWAY).waitFor();

      await page.getByRole('button', { name: 'Save this mix' }).click();
      await page.getByLabel('Name', { exact: true }).fill('Kept late');
      await page.getByRole('button', { name: 'Save', exact: true }).click();
      await page.getByText(/Not saved: Kneadwell is not running/).waitFor();
      expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe('Kept late');

      await start();
      expect(await mixesCalled('Kept late')).toBe(0);
      await run.client.call('makeRecord', {
        body: {
          kind: 'mix',
          body: {
            name: 'Meanwhile',
            basis: 'volume',
            status: 'saved',
            parts: [{ of: { kind: 'block', id: 'kelp' }, parts: 1 }],
          },
        },
      });
      await page.getByText(AWAY).waitFor({ state: 'detached' });
      await page.getByRole('button', { name: 'Save', exact: true }).click();
      await page.getByRole('heading', { level: 1, name: /Kept late/ }).waitFor();
      expect(await mixesCalled('Kept late')).toBe(1);
      await page.getByRole('link', { name: 'Mix book' }).first().click();
      await page
        .getByRole('link', { name: /Meanwhile/ })
        .first()
        .waitFor();
      await page.context().close();
    });

    it('shows what changed while nobody listened, when the program comes back', async () => {
      const page = await here.open({ offline: true });
      await page.goto(url('/book'));
      await page
        .getByRole('link', { name: /Sea moss/ })
        .first()
        .waitFor();
      await stop();
      await page.getByText(AWAY).waitFor();
      const past = await running({ page: here.page }, here.run.folder);
      await past.client.call('makeRecord', {
        body: {
          kind: 'mix',
          body: {
            name: 'From elsewhere',
            basis: 'volume',
            status: 'saved',
            parts: [{ of: { kind: 'block', id: 'kelp' }, parts: 1 }],
          },
        },
      });
      await past.end(true);
      await start();
      await page
        .getByRole('link', { name: /From elsewhere/ })
        .first()
        .waitFor();
      await page.context().close();
    });

    it('keeps a change once whose answer was lost on the way', async () => {
      // Calls a service worker stands between are out of the test's reach.
      const context = await here.browser.newContext({ serviceWorkers: 'block' });
      const page = await here.open({ context });
      await page.goto(url('/book/write'));
      let lost = 0;
      await page.route('**/api/v1/changes', async (route) => {
        if (route.request().method() !== 'POST' || lost > 0) return route.continue();
        lost++;
        await route.fetch();
        await route.abort('connectionreset');
      });
      await page.getByLabel('Recipes', { exact: true }).fill('Twice sent: 3 Kelp 1 Foam');
      await page.getByRole('button', { name: 'Save 1 recipe' }).click();
      await page.getByText(/Not saved: Kneadwell is not running/).waitFor();
      await expect.poll(() => mixesCalled('Twice sent')).toBe(1);
      await page.getByRole('button', { name: 'Save 1 recipe' }).click();
      await expect.poll(() => page.getByLabel('Recipes', { exact: true }).inputValue()).toBe('');
      expect(lost).toBe(1);
      expect(await mixesCalled('Twice sent')).toBe(1);
      // In the same words but later, it is another mix.
      await page.getByLabel('Recipes', { exact: true }).fill('Twice sent: 3 Kelp 1 Foam');
      await page.getByRole('button', { name: 'Save 1 recipe' }).click();
      await expect.poll(() => mixesCalled('Twice sent')).toBe(2);
      await context.close();
    });

    it('goes on when the machine has no network beyond itself', async () => {
      const page = await here.open({ offline: true });
      await page.goto(url('/'));
      await page.getByRole('heading', { name: 'Your studio' }).waitFor();
      await page.evaluate('window.dispatchEvent(new Event("offline"))');
      await page.getByRole('link', { name: 'Mix book' }).first().click();
      await page
        .getByRole('link', { name: /Sea moss/ })
        .first()
        .waitFor();
      await page.context().close();
    });

    it('never shows one book in the place of another', async () => {
      const page = await here.open({ offline: true });
      await page.goto(url('/book'));
      await page
        .getByRole('link', { name: /Sea moss/ })
        .first()
        .waitFor();
      await cachedAt(page);
      await stop();
      const other = mkdtempSync(join(tmpdir(), 'kneadwell-other-'));
      folders.push(other);
      await start(other);
      await page.getByText('Another book is open at this address now').waitFor();
      await page.getByRole('link', { name: /Sea moss/ }).waitFor({ state: 'detached' });
      await run.end(true);
      await page.reload();
      await page.getByText(AWAY).waitFor();
      await settled(page);
      expect(await page.getByRole('link', { name: /Sea moss/ }).count()).toBe(0);
      expect(Object.keys(await kept(page)).filter((name) => name.startsWith('book '))).toHaveLength(
        1,
      );
      await page.context().close();
      await start();
    });

    it('takes a new build over whole, and lets an open page end in its own', async () => {
      const next = mkdtempSync(join(tmpdir(), 'kneadwell-page-'));
      folders.push(next);
      await buildPage(next, { minify: false });
      const page = await here.open({ offline: true });
      await page.goto(url('/'));
      await page.getByRole('heading', { name: 'Your studio' }).waitFor();
      await cachedAt(page);
      const script = () =>
        page
          .locator('script[type=module]')
          .first()
          .evaluate((one) => (one as never as { src: string }).src);
      const old = await script();
      await stop();
      await start(undefined, next);
      // Its screen is not there any more where the page came from.
      await page.getByRole('link', { name: 'Tiles' }).first().click();
      await page.getByRole('heading', { level: 1, name: /./ }).first().waitFor();
      await page.getByText('Something went wrong on this page').waitFor({ state: 'detached' });
      await page.getByRole('link', { name: 'Stock' }).first().click();
      await page.getByRole('heading', { level: 1, name: 'Stock' }).waitFor();
      expect(await script()).toBe(old);

      await page.reload();
      await page.getByRole('heading', { level: 1, name: 'Stock' }).waitFor();
      const fresh = await script();
      expect(fresh).not.toBe(old);
      await expect
        .poll(async () =>
          Object.values(await kept(page))
            .flat()
            .includes(fresh),
        )
        .toBe(true);
      await stop();
      await page.goto(url('/clay-model'));
      await page.getByText(AWAY).waitFor();
      await page.getByRole('heading', { level: 1, name: /./ }).first().waitFor();
      expect(await script()).toBe(fresh);
      await page.context().close();
      await start();
    });

    it('can be installed, and clears its offline copy on request', async () => {
      const page = await here.open({ offline: true });
      await page.goto(url('/settings/devices'));
      await page.getByRole('button', { name: 'Remove offline copy' }).waitFor();
      const devtools = await page.context().newCDPSession(page);
      const { installabilityErrors } = (await devtools.send('Page.getInstallabilityErrors')) as {
        installabilityErrors: { errorId: string }[];
      };
      // Windows of tests are private ones, which install nothing.
      expect(
        installabilityErrors.map(({ errorId }) => errorId).filter((id) => id !== 'in-incognito'),
      ).toEqual([]);
      await cachedAt(page);
      await page.getByRole('button', { name: 'Remove offline copy' }).click();
      await page.getByText('There is no offline copy in this browser').waitFor();
      await page.getByRole('link', { name: 'Mix book' }).first().click();
      await page
        .getByRole('link', { name: /Sea moss/ })
        .first()
        .waitFor();
      expect(Object.values(await kept(page)).flat()).toEqual([]);
      await page.context().close();
    });

    // Without openssl no certificate can be made here; over plain http nothing is kept at all.
    const certificate = ownCertificate();
    it.skipIf(certificate === undefined)(
      'makes a device forget the book when it hears that its leave was taken',
      async () => {
        const secure = await running({ page: here.page, certificate: certificate! });
        await tidePool(secure.client);
        await secure.client.call('setNetwork', { body: { on: true } });
        const { body } = await secure.client.call('startPairing', {});
        const browser = await launched(['--ignore-certificate-errors']);
        const phone = await browser.newPage({ ignoreHTTPSErrors: true });
        const books = async () =>
          Object.keys(await kept(phone)).filter((name) => name.startsWith('book ')).length;
        await phone.goto(body.urls[0].replace(/#.*$/, ''));
        await phone.getByLabel('Code').fill(body.code);
        await phone.getByRole('button', { name: 'Pair', exact: true }).click();
        await phone.getByRole('heading', { name: 'Your studio' }).waitFor();
        await expect.poll(books).toBe(1);
        const [device] = (await secure.client.call('listDevices', {})).body.devices;
        await secure.client.call('revokeDevice', { params: { id: device.id } });
        await phone.getByRole('heading', { name: 'Pair this device' }).waitFor();
        await expect.poll(books).toBe(0);
        await browser.close();
        await secure.end();
      },
    );

    it('says why it cannot be kept over plain http in the home network', async () => {
      await run.client.call('setNetwork', { body: { on: true } });
      const { body } = await run.client.call('startPairing', {});
      // What stands for the home network here is this machine, which browsers trust; a real one is not.
      const phone = await here.open({ width: 360, height: 740, offline: true });
      await phone.addInitScript(
        'Object.defineProperty(globalThis, "isSecureContext", { value: false })',
      );
      await phone.goto(body.urls[0].replace(/#.*$/, ''));
      await phone.getByLabel('Code').fill(body.code);
      await phone.getByRole('button', { name: 'Pair', exact: true }).click();
      await phone.getByRole('heading', { name: 'Your studio' }).waitFor();
      await phone.goto(`${body.urls[0].replace(/#.*$/, '')}settings/devices`);
      await phone.getByText(/browsers save pages for offline use only over https/).waitFor();
      expect(Object.keys(await kept(phone))).toEqual([]);
      await run.client.call('setNetwork', { body: { on: false } });
      await phone.context().close();
    });
  },
);
