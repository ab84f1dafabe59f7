import type { Page } from 'playwright-core';
import { expect } from 'vitest';
import type { PageHere } from './page.ts';

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

export async function photoScreen(
  here: PageHere,
  look: Parameters<PageHere['open']>[0] = {},
): Promise<Page> {
  const page = await here.open(look);
  await page.goto(`${here.run.server.url}/tiles/photo`);
  await page.getByRole('heading', { name: 'Tiles from a photo' }).waitFor();
  return page;
}

/** Waits until the photos stand there read. */
export async function photosRead(page: Page): Promise<void> {
  await tileRows(page).first().waitFor();
  await expect
    .poll(() => page.locator('[role=progressbar]:visible').count(), { timeout: 15_000 })
    .toBe(0);
}
