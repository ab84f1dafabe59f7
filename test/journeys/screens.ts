import type { Page } from 'playwright-core';
import { expect } from 'vitest';
import type { ApiClient } from '../../src/client/api-client.ts';
import { type PageHere, pageHere, tidePool } from './page.ts';

/** A screen or a sheet of the page, as one comes to it. */
export interface Screen {
  readonly name: string;
  /** May name `:mix`, the mix that `bookToLookAt` keeps. */
  readonly path: string;
  /** What is pressed when it stands. */
  readonly doing?: (page: Page) => Promise<unknown>;
}

const press = (name: string | RegExp) => (page: Page) =>
  page.getByRole('button', { name }).first().click();

const choose = (name: string) => (page: Page) => page.getByRole('radio', { name }).first().click();

/** Every screen and every sheet; a new one is one line more. */
export const SCREENS: readonly Screen[] = [
  { name: 'Start', path: '/' },
  { name: 'Blocks by eye', path: '/', doing: press('Make a colour by eye') },
  { name: 'Blocks from a picture', path: '/', doing: press('Begin with a picture') },
  { name: 'An aim by eye', path: '/find', doing: choose('By eye') },
  { name: 'An aim from the book', path: '/find', doing: choose('From my book') },
  { name: 'An aim from a picture', path: '/find', doing: choose('From a picture') },
  { name: 'An aim of Munsell', path: '/find', doing: choose('Munsell page') },
  { name: 'An aim typed', path: '/find', doing: choose('Typed') },
  { name: 'Find', path: '/find?aim=52_-18_22&called=Sea+moss' },
  {
    name: 'Find, rules open',
    path: '/find?aim=52_-18_22&called=Sea+moss',
    doing: (page) =>
      page.evaluate('for (const one of document.querySelectorAll("details")) one.open = true'),
  },
  { name: 'Find, nothing near', path: '/find?aim=60_-75_-5&called=Too+bright' },
  {
    name: 'Keep a mix',
    path: '/find?aim=52_-18_22&called=Sea+moss',
    doing: press('Save this mix'),
  },
  { name: 'Mix book', path: '/book' },
  { name: 'Mix book as a table', path: '/book', doing: choose('Table') },
  { name: 'Write down', path: '/book/write' },
  { name: 'A mix', path: '/book/:mix' },
  { name: 'Change a mix', path: '/book/:mix', doing: press('Change') },
  { name: 'Read a tile', path: '/book/:mix', doing: press('Add a reading of its tile') },
  { name: 'Mixing', path: '/book/:mix/mixing' },
  { name: 'Tiles', path: '/tiles' },
  { name: 'Tiles from a photo', path: '/tiles/photo' },
  { name: 'Override a tile', path: '/tiles', doing: press(/^Override/) },
  { name: 'Stock', path: '/stock' },
  { name: 'Stock, a block', path: '/stock', doing: press(/Kelp/) },
  { name: 'Stock, a line', path: '/stock', doing: press(/^Change the line/) },
  { name: 'Stock, boxes', path: '/stock', doing: choose('Boxes') },
  {
    name: 'Stock, side by side',
    path: '/stock',
    doing: choose('Compare lines by hue'),
  },
  { name: 'GamutScreen', path: '/reach' },
  { name: 'Learn', path: '/learn' },
  { name: 'Settings', path: '/settings' },
  { name: 'Delete all for good', path: '/settings', doing: press('Delete all for good') },
  { name: 'Workshop', path: '/workshop' },
  { name: 'Nothing there', path: '/nowhere' },
];

/** Brings the page to a screen and waits until nothing is on its way any more. */
export async function goTo(page: Page, base: string, screen: Screen, mix: string): Promise<void> {
  await page.goto(`${base}${screen.path.replace(':mix', mix)}`);
  await settled(page);
  await screen.doing?.(page);
  if (screen.doing !== undefined) await settled(page);
}

/** Everything that is fetched has come, and no bar of progress stands. */
export async function settled(page: Page): Promise<void> {
  await page.locator('h1, h2, .mixing').first().waitFor();
  // The book's events keep one call open for good, so nothing waits for a quiet network.
  await page.waitForTimeout(150);
  // The workshop shows how a bar looks.
  const shown = page.url().includes('workshop') ? 1 : 0;
  await expect
    .poll(() => page.locator('[role=progressbar]:visible').count(), { timeout: 20_000 })
    .toBeLessThanOrEqual(shown);
}

/** The page over a learned book in which every screen has something to show; `mix` is the one to open. */
export async function pageToLookAt(): Promise<{ here: PageHere; mix: string }> {
  const here = await pageHere();
  await tidePool(here.client, true);
  return { here, mix: await mixToLookAt(here.client) };
}

/** A kept mix, and one in the bin. */
async function mixToLookAt(client: ApiClient): Promise<string> {
  const make = async (name: string) =>
    (
      await client.call('makeRecord', {
        body: {
          kind: 'mix',
          body: {
            ...(name === 'Sea moss' ? { code: 'K7', note: 'paler after baking' } : {}),
            name,
            tags: ['weeds'],
            basis: 'volume',
            status: 'saved',
            parts: [
              { of: { kind: 'block', id: 'kelp' }, parts: 5 },
              { of: { kind: 'block', id: 'limpet' }, parts: 2 },
            ],
          },
        },
      })
    ).body;
  const mix = await make('Sea moss');
  const old = await make('Old weed');
  await client.call('binRecord', { params: { id: old.id } }, { version: old.version });
  return mix.id;
}
