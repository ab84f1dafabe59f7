import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect } from 'vitest';
import type { Photographed } from '../studio-camera/photograph.ts';
import { photographedOnce } from '../studio-camera/photographed-once.ts';
import { NO_BROWSER, type PageHere, pageHere } from './page.ts';

/** What tests of photos in the page stand on; filled before the first of them. */
export interface PhotoBench {
  here: PageHere;
  tray: Photographed;
  /** The same tray without the chart. */
  bare: Photographed;
}

/** The page on a book of two blocks and a mix, and two photos of one tray; no complaint goes unheard. */
export function photoBench(): PhotoBench {
  const bench = {} as PhotoBench;
  beforeAll(async () => {
    if (NO_BROWSER !== undefined) return;
    bench.here = await pageHere();
    bench.tray = await photographedOnce(25, 'D65');
    bench.bare = await photographedOnce(25, 'D65', { chart: false });
    const put = (kind: string, id: string, body: unknown) => ({ do: 'put', kind, id, body });
    const steps = [
      put('line', 'salt', { name: 'Saltmarsh', status: 'current' }),
      put('block', 'kelp', { lineId: 'salt', name: 'Kelp', clayType: 'opaque', status: 'current' }),
      put('block', 'foam', { lineId: 'salt', name: 'Foam', clayType: 'opaque', status: 'current' }),
      put('mix', 'moss', {
        code: 'K7',
        name: 'Sea moss',
        basis: 'volume',
        status: 'saved',
        parts: [{ of: { kind: 'block', id: 'kelp' }, parts: 5 }],
      }),
    ];
    await bench.here.client.call('makeChange', { body: { what: 'Began', steps: steps as never } });
  });
  afterAll(async () => {
    await bench.here?.end();
  });
  afterEach(() => {
    expect(bench.here?.complaints.splice(0) ?? []).toEqual([]);
    expect(bench.here?.run.troubles ?? []).toEqual([]);
  });
  return bench;
}

/** A file as an input of the page takes it. */
export const file = (name: string, buffer: Uint8Array | string, mimeType = 'image/jpeg') => ({
  name,
  mimeType,
  buffer: Buffer.from(buffer),
});

/** Where photos are chosen; other inputs take boards and charts. */
export const photoInput = (page: Page) =>
  page.locator('input[type=file]:not([accept*=csv]):not([accept*=json])').last();

export const tileRows = (page: Page) => page.locator('.tile-row');

/** Leaves a tile out, if it is used. */
export async function leaveOut(page: Page, place: string): Promise<void> {
  const tick = page.locator(`[data-row="${place}"]`).getByRole('checkbox');
  if (await tick.isChecked()) await page.locator(`[data-row="${place}"] .tick`).click();
}

export async function photoScreen(
  here: PageHere,
  look: Parameters<PageHere['open']>[0] = {},
): Promise<Page> {
  const page = await here.open(look);
  await page.goto(`${here.run.server.url}/tiles/photo`);
  await page.getByRole('heading', { name: 'Tiles from a photo' }).waitFor();
  return page;
}

/** Waits until the photos are read. */
export async function photosRead(page: Page): Promise<void> {
  await tileRows(page).first().waitFor();
  const busy = page.locator('[role=progressbar]:visible, .tile-rows[aria-busy=true]');
  while ((await busy.count()) > 0) await busy.first().waitFor({ state: 'hidden' });
}
