import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillBook } from '../../bench/large-book.ts';
import { API_PREFIX } from '../../src/api/paths.ts';
import { NO_BROWSER, type PageHere, pageHere } from './page.ts';

/**
 * So many that neither the page nor a list of the server can hold all rows at once, which is what is shown
 * here. The largest book that is promised has 100,000: bench/book-page.ts and KNEADWELL_MIXES=100000.
 */
const MIXES = Number(process.env.KNEADWELL_MIXES ?? 10_000);
const said = (n: number) => n.toLocaleString('en');

let here: PageHere;
let calls: string[];
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  const folder = mkdtempSync(join(tmpdir(), 'kneadwell-large-'));
  await fillBook(folder, MIXES);
  here = await pageHere(folder);
  await here.run.server.book.index.ready;
});
afterAll(async () => {
  await here?.end();
});

const opened = async (path: string, width = 1280): Promise<Page> => {
  // What the page's worker lays by for another day is its own affair, and counted there.
  const context = await here.browser.newContext({
    viewport: { width, height: 900 },
    reducedMotion: 'reduce',
    serviceWorkers: 'block',
  });
  const page = await here.open({ context });
  calls = [];
  page.on('request', (request) => {
    const { pathname, search } = new URL(request.url());
    if (pathname.startsWith(API_PREFIX) && !pathname.endsWith('/events')) {
      calls.push(pathname.slice(API_PREFIX.length) + search);
    }
  });
  await page.goto(`${here.run.server.url}${path}`);
  return page;
};
const listCalls = () => calls.filter((call) => call.startsWith('/sheets/mixes'));
const inOrder = async (sort: 'name' | 'changed', from: number, limit = 60) => {
  const query = { sort, from, limit, ...(sort === 'changed' ? { descending: 'true' } : {}) };
  return (await here.client.call('mixList', { query: query as never })).body.rows;
};
const tileAt = (page: Page, place: number) => page.locator(`[aria-posinset="${place}"] a`);
const scrollTo = (page: Page, share: number) =>
  page.locator('.contact').evaluate((box, part) => {
    const sheet = box as never as { scrollTop: number; scrollHeight: number };
    sheet.scrollTop = sheet.scrollHeight * part;
  }, share);
const firstInSight = (page: Page) =>
  page.locator('.contact').evaluate((box) => {
    type Box = { getBoundingClientRect(): { top: number; bottom: number } };
    const top = (box as never as Box).getBoundingClientRect().top;
    const cells = (
      box as never as {
        querySelectorAll(q: string): Iterable<Box & { getAttribute(n: string): string }>;
      }
    ).querySelectorAll('.contact-cell');
    for (const cell of cells) {
      if (cell.getBoundingClientRect().bottom > top + 4)
        return Number(cell.getAttribute('aria-posinset'));
    }
    return 0;
  });

describe.skipIf(NO_BROWSER !== undefined)(
  `a book of ${said(MIXES)} mixes (${NO_BROWSER ?? 'browser'})`,
  () => {
    it('is scrolled to its middle and its end in a few calls, and shows what lies there', async () => {
      const page = await opened('/book?sort=name');
      await tileAt(page, 1).waitFor();
      await page.getByText(`${said(MIXES)} mixes`).waitFor();
      const atStart = calls.length;
      await scrollTo(page, 0.5);
      await page.locator('.contact a').first().waitFor();
      const middle = await firstInSight(page);
      expect(middle).toBeGreaterThan(MIXES * 0.48);
      expect(middle).toBeLessThan(MIXES * 0.52);
      const [row] = await inOrder('name', middle - 1, 1);
      await expect.poll(() => tileAt(page, middle).textContent()).toContain(row.name);
      await expect.poll(() => tileAt(page, middle).locator('.no-colour').count()).toBe(0);
      // A jump costs what stands in sight and no more: no page before it, and no call for a tile.
      expect(calls.length - atStart).toBeLessThanOrEqual(2);
      await tileAt(page, middle + 8).focus();
      await page.keyboard.press('End');
      const [last] = await inOrder('name', MIXES - 1, 1);
      await expect.poll(() => tileAt(page, MIXES).textContent()).toContain(last.name);
      await expect
        .poll(() => tileAt(page, MIXES).evaluate((one) => one.matches(':focus')))
        .toBe(true);
      // Only what is in sight is drawn.
      expect(
        await page.getByRole('list', { name: 'Mixes' }).getByRole('link').count(),
      ).toBeLessThan(200);
      await page.keyboard.press('ArrowLeft');
      await expect
        .poll(() => tileAt(page, MIXES - 1).evaluate((one) => one.matches(':focus')))
        .toBe(true);
      await page.keyboard.press('Home');
      await expect.poll(() => tileAt(page, 1).evaluate((one) => one.matches(':focus'))).toBe(true);
      expect(listCalls().length).toBeLessThanOrEqual(8);
      expect(calls.filter((call) => /^\/records\//.test(call))).toEqual([]);
      await page.context().close();
    });

    it('does not load what is only passed, at any scroll speed', async () => {
      const page = await opened('/book');
      await tileAt(page, 1).waitFor();
      // Answers are held until scrolling stops, so that the calls made by then do not depend on the speed of the machine.
      let letGo = () => {};
      const stopped = new Promise<void>((resolve) => {
        letGo = resolve;
      });
      await page.route('**/sheets/mixes?**', async (route) => {
        await stopped;
        await route.continue();
      });
      const before = calls.length;
      for (let step = 1; step <= 40; step++) await scrollTo(page, step / 41);
      await expect.poll(async () => (await firstInSight(page)) > MIXES * 0.9).toBe(true);
      expect(calls.length - before).toBeLessThanOrEqual(2);
      letGo();
      await expect.poll(() => page.locator('.contact .tile.no-colour').count()).toBe(0);
      expect(calls.length - before).toBeLessThanOrEqual(6);
      await page.context().close();
    });

    it('comes back from a mix to the same place, and after a reload', async () => {
      const page = await opened('/book?sort=name');
      await tileAt(page, 1).waitFor();
      await scrollTo(page, 0.6);
      await expect.poll(async () => (await firstInSight(page)) > MIXES * 0.55).toBe(true);
      const place = await firstInSight(page);
      const link = tileAt(page, place + 8);
      await link.locator('.tile').waitFor();
      const name = ((await link.textContent()) ?? '').trim();
      await link.click();
      await page.getByRole('heading', { level: 1 }).waitFor();
      await page.goBack();
      await expect.poll(() => tileAt(page, place + 8).textContent()).toContain(name);
      expect(await firstInSight(page)).toBe(place);
      // Reloaded, however often, and wherever a row begins in fractions of a pixel.
      for (const share of [0.6, 0.2345, 0.8765]) {
        await scrollTo(page, share);
        const around = MIXES * share;
        await expect
          .poll(async () => Math.abs((await firstInSight(page)) - around) < MIXES * 0.05)
          .toBe(true);
        const there = await firstInSight(page);
        for (let time = 1; time <= 3; time++) {
          await page.reload();
          await tileAt(page, there + 8)
            .locator('.tile')
            .waitFor();
          expect(await firstInSight(page), `reloaded ${time} times`).toBe(there);
        }
      }
      // A narrower window has fewer tiles in a row; the same mix stands first.
      const there = await firstInSight(page);
      await page.setViewportSize({ width: 700, height: 900 });
      await expect
        .poll(async () => Math.abs((await firstInSight(page)) - there))
        .toBeLessThanOrEqual(8);
      await page.context().close();
    });

    it('shows its filters in words, keeps them in the address, and removes them again', async () => {
      const page = await opened('/book');
      await page.getByRole('button', { name: 'Filter' }).click();
      await page.getByLabel('Colour', { exact: true }).selectOption('green');
      await page.getByLabel('Line', { exact: true }).selectOption('l0');
      await page.getByText(/^Greens with Saltmarsh in them: [\d,]+$/).waitFor();
      const { body } = await here.client.call('mixList', {
        query: { colour: 'green', line: 'l0' },
      });
      expect(body.total).toBeGreaterThan(100);
      const greens = `Greens with Saltmarsh in them: ${said(body.total)}`;
      await page.getByText(greens).waitFor();
      await page.reload();
      await page.getByText(greens).waitFor();
      await page.getByRole('button', { name: 'Remove filter: Saltmarsh' }).click();
      await page.getByText(/^Greens: [\d,]+$/).waitFor();
      await page.goBack();
      await page.getByText(greens).waitFor();
      // Nothing was ever counted in this stock.
      await page.getByRole('button', { name: /Filter/ }).click();
      await page.getByLabel(/^Enough stock for/).fill('40');
      await page.getByLabel(/^Enough stock for/).press('Enter');
      await page.getByRole('heading', { name: 'No mix fits all filters' }).waitFor();
      await page.getByText(/never entered in Stock count as not there/).waitFor();
      await page
        .getByRole('button', {
          name: `Without enough stock for 40 g: ${body.total.toLocaleString('en')} mixes`,
        })
        .click();
      await page.getByText(greens).waitFor();
      await page.context().close();
    });

    it('is a table as far as it goes', async () => {
      const page = await opened('/book?sort=name&as=table');
      await page
        .getByText(`1 to 100 of ${said(MIXES)}`)
        .first()
        .waitFor();
      await page.getByRole('button', { name: 'Last' }).first().click();
      await page
        .getByText(`${said(MIXES - 99)} to ${said(MIXES)} of ${said(MIXES)}`)
        .first()
        .waitFor();
      const [row] = await inOrder('name', MIXES - 100, 1);
      await page.getByRole('cell', { name: row.name ?? '', exact: true }).waitFor();
      await page
        .getByLabel('Go to number')
        .first()
        .fill(said(MIXES / 2));
      await page.getByLabel('Go to number').first().press('Enter');
      await page
        .getByText(`${said(MIXES / 2 - 99)} to ${said(MIXES / 2)} of ${said(MIXES)}`)
        .first()
        .waitFor();
      expect(calls.filter((call) => /^\/records\//.test(call))).toEqual([]);
      await page.context().close();
    });

    it('stays unchanged while the book changes elsewhere, and is refreshed on request', async () => {
      const page = await opened('/book');
      await tileAt(page, 1).waitFor();
      const first = (await tileAt(page, 1).textContent()) ?? '';
      await here.client.call('makeRecord', {
        body: {
          kind: 'mix',
          body: {
            name: 'From the phone',
            basis: 'volume',
            status: 'saved',
            parts: [{ of: { kind: 'block', id: 'b1' }, parts: 2 }],
          },
        },
      });
      await page.getByText('The book was changed on another device.').waitFor();
      expect(await tileAt(page, 1).textContent()).toBe(first);
      await page.getByRole('button', { name: 'Refresh' }).click();
      await expect.poll(() => tileAt(page, 1).textContent()).toContain('From the phone');
      await page.context().close();
    });

    it('reads an old page that names any of its mixes, and pages through its tiles', async () => {
      const page = await opened('/book/write');
      await page
        .getByLabel('Recipes', { exact: true })
        .fill(`New deep: 3K${MIXES - 1} 1 K7\nOdd: 2 K${MIXES * 8} 1 K3`);
      await page.getByRole('button', { name: 'Save 1 recipe' }).waitFor();
      const read = page.getByRole('list', { name: 'Result' });
      const names = await Promise.all(
        [`m${MIXES - 1}`, 'm7'].map(async (id) => {
          const { body } = await here.client.call('getRecord', { params: { id } });
          return (body.body as { name: string }).name;
        }),
      );
      await read.getByText(`3 ${names[0]}, 1 ${names[1]}`).waitFor();
      await read.getByText(new RegExp(`“K${MIXES * 8}”|at “K`)).waitFor();
      await page.goto(`${here.run.server.url}/tiles`);
      await page
        .getByText(`1 to 60 of ${said(MIXES)}`)
        .first()
        .waitFor();
      await page.getByRole('button', { name: 'Next' }).first().click();
      await page
        .getByText(`61 to 120 of ${said(MIXES)}`)
        .first()
        .waitFor();
      await expect.poll(() => page.locator('.swatches li').count()).toBe(60);
      expect(calls.filter((call) => /kind=(?:mix|tile|reading)/.test(call))).toEqual([]);
      await page.context().close();
      expect(here.complaints).toEqual([]);
    });
  },
);
