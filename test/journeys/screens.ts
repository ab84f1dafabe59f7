import type { Page } from 'playwright-core';
import type { ApiClient } from '../../src/client/api-client.ts';
import { make } from '../../src/domain/changes/steps.ts';
import { callsUnderWay, type PageHere, pageHere, tidePoolBook, WAIT_MS } from './page.ts';

/** A screen or a dialog of the page. */
export interface Screen {
  readonly name: string;
  /** May name `:mix`, the mix of `pageToLookAt`. */
  readonly path: string;
  /** What to press once it is shown. */
  readonly action?: (page: Page) => Promise<unknown>;
  /** A heading that says the screen is there, where work that takes minutes may go on behind it. */
  readonly until?: string;
}

const press = (name: string | RegExp) => (page: Page) =>
  page.getByRole('button', { name }).first().click();

/** Presses what opens a dialog, whose script may still be on its way. */
const open = (name: string | RegExp) => async (page: Page) => {
  await press(name)(page);
  await page.locator('[role=dialog], [role=alertdialog]').first().waitFor();
};

const choose = (name: string) => (page: Page) => page.getByRole('radio', { name }).first().click();

/** The first tile that was baked and read. */
const openTile = async (page: Page) => {
  await page.locator('.tile-cells a[href^="/tiles/"]').first().click();
  await page.getByRole('heading', { name: 'Readings' }).waitFor();
};

/** Names the one who shares, where nobody did yet. */
const shareAsSomebody = async (page: Page) => {
  const name = page.getByRole('textbox', { name: 'Your name' });
  if (!(await name.isVisible())) return;
  await name.fill('Ines Limpet');
  await press('Save')(page);
  await page.getByRole('heading', { name: 'This leaves' }).waitFor();
};

/** Every screen and every dialog. */
export const SCREENS: readonly Screen[] = [
  { name: 'Start', path: '/' },
  { name: 'Blocks by eye', path: '/', action: press('Add a block by eye') },
  { name: 'Blocks from a photo', path: '/', action: press('Add blocks from a picture') },
  { name: 'An aim by eye', path: '/find', action: choose('By eye') },
  { name: 'An aim from the book', path: '/find', action: choose('From the mix book') },
  { name: 'An aim from a photo', path: '/find', action: choose('From a picture') },
  {
    name: 'An aim of Munsell',
    path: '/find',
    action: async (page) => {
      await choose('By numbers')(page);
      await page.getByText('Choose from a Munsell page').click();
    },
  },
  { name: 'An aim typed', path: '/find', action: choose('By numbers') },
  { name: 'Find', path: '/find?aim=52_-18_22&called=Sea+moss' },
  {
    name: 'Find, rules open',
    path: '/find?aim=52_-18_22&called=Sea+moss',
    action: open('Change rules'),
  },
  {
    name: 'Find, details',
    path: '/find?aim=52_-18_22&called=Sea+moss',
    action: (page) => page.getByText('Details', { exact: true }).click(),
  },
  {
    name: 'Find, no close recipe',
    path: '/find?aim=60_-75_-5&called=Too+bright',
    until: 'What would help',
  },
  {
    name: 'Save a mix',
    path: '/find?aim=52_-18_22&called=Sea+moss',
    action: open('Save this mix'),
  },
  { name: 'Bend tests', path: '/bend-tests' },
  { name: 'Plan bend tests', path: '/bend-tests', action: open('Plan bend tests') },
  { name: 'Bake', path: '/bake' },
  { name: 'Check the oven', path: '/bake', action: open('Check the oven') },
  { name: 'Mix book', path: '/book' },
  { name: 'Mix book as a table', path: '/book', action: choose('Table') },
  { name: 'Type in recipes', path: '/book/write' },
  { name: 'Share, who', path: '/share' },
  { name: 'Share a mix', path: '/share?mix=:mix', action: shareAsSomebody },
  { name: 'A mix', path: '/book/:mix' },
  { name: 'Edit a mix', path: '/book/:mix', action: open('Edit') },
  { name: 'Add a reading', path: '/book/:mix', action: open('Add a reading') },
  { name: 'Mixing', path: '/book/:mix/mixing' },
  {
    name: 'Mixing without saving',
    path: '/mixing?pieces=kelp:5,limpet:2&aim=52_-18_22&called=Sea+moss',
  },
  {
    name: 'Mixing, last step',
    path: '/book/:mix/mixing',
    action: async (page) => {
      const next = page.getByRole('button', { name: /^Next/ });
      await page.locator('.mixing').waitFor();
      while (await next.isVisible()) await next.click();
    },
  },
  { name: 'Mend a lump', path: '/mend?mix=:mix&aim=45_-8_24&called=Moss' },
  { name: 'Mend a lump nobody knows', path: '/mend' },
  { name: 'Test balls', path: '/try?aim=48_-10_22', action: press(/Ball A/) },
  { name: 'Even steps', path: '/even-steps?from=block+kelp&to=block+limpet' },
  { name: 'An end of the steps', path: '/even-steps', action: open(/^From/) },
  {
    name: 'Other clays',
    path: '/other-clays?mix=:mix',
    action: (page) => page.locator('.others-lines label').first().click(),
  },
  {
    name: 'A new lot',
    path: '/new-lot?block=kelp',
    action: async (page) => {
      await page.getByRole('slider').first().focus();
      for (let step = 0; step < 6; step++) await page.keyboard.press('ArrowDown');
      await page.getByRole('list', { name: /^Mixes, the one/ }).waitFor();
    },
  },
  { name: 'A new lot of nothing', path: '/new-lot' },
  {
    name: 'Buy or mix',
    path: '/buy-or-mix',
    action: (page) => page.getByRole('list', { name: 'Blocks to buy' }).waitFor(),
  },
  {
    name: 'Buying list',
    path: '/buying',
    action: (page) => page.getByRole('list', { name: 'Colours' }).waitFor(),
  },
  {
    name: 'Wish list',
    path: '/wishes',
    action: (page) => page.getByRole('list', { name: 'Colours nobody here has' }).waitFor(),
  },
  { name: 'A wish', path: '/wishes', action: open('Add a colour') },
  {
    name: 'The plan of a figure',
    path: '/figures/fig-weed',
    action: (page) => page.getByRole('list', { name: 'Batches' }).waitFor(),
  },
  { name: 'A shape of a figure', path: '/figures/fig-weed', action: open('Add a shape') },
  { name: 'How a figure is made', path: '/figures/fig-weed', action: open('Edit the plan') },
  { name: 'A chart', path: '/charts' },
  {
    name: 'A cell of a chart',
    path: '/charts',
    action: (page) => page.locator('.chart-cell').first().click(),
  },
  { name: 'A chart of a few clays', path: '/charts?line=grid' },
  { name: 'Tiles', path: '/tiles' },
  { name: 'Tiles from a photo', path: '/tiles/photo' },
  { name: 'A tile', path: '/tiles', action: openTile },
  {
    name: 'Edit a tile',
    path: '/tiles',
    action: async (page) => {
      await openTile(page);
      await open('Edit')(page);
    },
  },
  {
    name: 'Override a tile',
    path: '/tiles',
    action: async (page) => {
      await openTile(page);
      await open(/^Override/)(page);
    },
  },
  { name: 'Which clay', path: '/tiles', action: open('Add a tile') },
  { name: 'Stock', path: '/stock' },
  { name: 'Stock, a block', path: '/stock', action: open(/Kelp/) },
  {
    name: 'Stock, a line',
    path: '/stock',
    action: async (page) => {
      await page.locator('.about-line > summary').first().click();
      await open(/^Edit line/)(page);
    },
  },
  { name: 'Stock, boxes', path: '/stock?view=boxes' },
  { name: 'Stock, side by side', path: '/stock?view=compare' },
  { name: 'Stock, figures', path: '/stock?view=figures' },
  { name: 'A figure', path: '/stock?view=figures', action: open('Add a figure') },
  { name: 'A palette', path: '/stock?view=figures', action: open('Add a palette') },
  { name: 'Stock, powders', path: '/stock?view=powders' },
  { name: 'A powder', path: '/stock?view=powders', action: open('Add a powder') },
  { name: 'Stock, short names', path: '/stock?view=names' },
  { name: 'Colour range', path: '/colour-range' },
  { name: 'Clay model', path: '/clay-model' },
  { name: 'Settings', path: '/settings' },
  { name: 'Settings, units', path: '/settings/units' },
  { name: 'Settings, lights', path: '/settings/lights' },
  { name: 'Settings, backups', path: '/settings/backups' },
  { name: 'Settings, files', path: '/settings/files' },
  { name: 'Settings, phones', path: '/settings/devices' },
  { name: 'Settings, check', path: '/settings/check' },
  { name: 'Delete all for good', path: '/settings/deleted', action: open('Delete all for good') },
  { name: 'Nothing there', path: '/nowhere' },
];

/** What an empty book shows. */
export const EMPTY_SCREENS: readonly Screen[] = [
  { name: 'Empty, start', path: '/' },
  { name: 'Empty, find', path: '/find' },
  { name: 'Empty, find a colour', path: '/find?aim=52_-18_22&called=Sea+moss' },
  { name: 'Empty, mix book', path: '/book' },
  { name: 'Empty, tiles', path: '/tiles' },
  { name: 'Empty, stock', path: '/stock' },
  { name: 'Empty, colour range', path: '/colour-range' },
  { name: 'Empty, clay model', path: '/clay-model' },
];

/** Opens a screen by its address and waits until it is loaded. */
export async function goTo(page: Page, base: string, screen: Screen, mix: string): Promise<void> {
  await page.goto(`${base}${pathOf(screen, mix)}`);
  await arrived(page, screen);
}

/**
 * Opens a screen as a link does, without loading the page again, which takes a quarter of the time. From a
 * dialog the page is loaded again, since a dialog that closes takes a step back on its own.
 */
export async function turnTo(page: Page, base: string, screen: Screen, mix: string): Promise<void> {
  const loaded = page.url().startsWith(base);
  if (!loaded || (await page.getByRole('dialog').count()) > 0) return goTo(page, base, screen, mix);
  // By way of no screen at all, so that nothing that was pressed stays pressed.
  await page.evaluate("history.pushState(null, '', '/nowhere')");
  await page.getByRole('heading', { name: 'Page not found' }).waitFor();
  await page.evaluate(`history.pushState(null, '', ${JSON.stringify(pathOf(screen, mix))})`);
  await arrived(page, screen);
}

const pathOf = (screen: Screen, mix: string) => screen.path.replace(':mix', mix);

async function arrived(page: Page, screen: Screen): Promise<void> {
  if (screen.until === undefined) await settled(page);
  else await page.getByRole('heading', { name: screen.until }).waitFor();
  await screen.action?.(page);
  if (screen.action !== undefined) await settled(page);
}

/** Looks in a row at which nothing was under way: an answer may start a job a moment after its call ended. */
const QUIET_LOOKS = 3;
const LOOK_AGAIN_MS = 50;

/** Waits until what is on the page has been laid out and drawn. */
export async function drawn(page: Page): Promise<void> {
  await page.evaluate(
    'new Promise((end) => requestAnimationFrame(() => requestAnimationFrame(end)))',
  );
}

/** Waits until everything is loaded and no progress bar is shown. */
export async function settled(page: Page): Promise<void> {
  await page.locator('h1, h2, .mixing').first().waitFor();
  const giveUp = Date.now() + WAIT_MS;
  for (let quiet = 0; quiet < QUIET_LOOKS; ) {
    // Drawn, so that what an effect asks for is on its way.
    await drawn(page);
    const busy = callsUnderWay(page) + (await page.locator('[role=progressbar]:visible').count());
    quiet = busy === 0 ? quiet + 1 : 0;
    if (Date.now() > giveUp) throw new Error(`${page.url()} is still loading: ${busy} things`);
    await page.waitForTimeout(LOOK_AGAIN_MS);
  }
}

/** The page over a learned book in which every screen has something to show; `mix` is the one to open. */
export async function pageToLookAt(): Promise<{ here: PageHere; mix: string }> {
  const here = await pageHere(await tidePoolBook());
  return { here, mix: await mixToLookAt(here.client) };
}

/** Three strips of two lines, one of them not bent yet. */
async function bendTestsToLookAt(client: ApiClient): Promise<void> {
  const { records } = (await client.call('listRecords', { query: { kind: 'line', limit: 2 } }))
    .body;
  const [strongLineId, otherLineId] = records.map(({ id }) => id);
  for (const [i, result] of (['no mark', 'crack', undefined] as const).entries()) {
    await client.call('makeRecord', {
      body: {
        kind: 'bend-test',
        body: {
          set: 'First strips',
          number: i + 1,
          strongLineId,
          otherLineId,
          strongShare: 0.5,
          specimen: { form: 'strip', thicknessMm: 1.5, widthMm: 10, lengthMm: 60 },
          action: 'ends together',
          ...(result === undefined ? {} : { result }),
        },
      },
    });
  }
}

/** A planned figure of two shapes, one without a colour yet, and a palette of two colours. */
async function figureToLookAt(client: ApiClient, mixId: string): Promise<void> {
  const figure = make(
    'figure',
    {
      name: 'Sea slug in the weed',
      plan: {
        shapes: [
          {
            name: 'Fronds',
            count: 240,
            shape: { form: 'leaf', lengthMm: 20, widthMm: 6, thicknessMm: 1 },
            of: { kind: 'mix', id: mixId },
          },
          { count: 1, shape: { form: 'skin over a ball', skinMm: 3, coreMm: 40 } },
        ],
        cutterMm: 20,
      },
      batches: [],
      bakes: [],
    },
    'fig-weed',
  );
  const aims = [
    { id: 'moss', name: 'Moss', lab: [46, -18, 24] as const, toleranceDE00: 3.5 },
    { id: 'glint', name: 'Glint', lab: [90, -75, 5] as const, toleranceDE00: 1.8 },
  ];
  const palette = make('palette', { name: 'Low tide', aims }, 'low-tide');
  await client.call('makeChange', {
    body: { what: 'Planned a figure', steps: [figure, palette] },
  });
}

/** A saved mix, and a deleted one. */
async function mixToLookAt(client: ApiClient): Promise<string> {
  const saved = async (name: string) =>
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
  await bendTestsToLookAt(client);
  const mix = await saved('Sea moss');
  await figureToLookAt(client, mix.id);
  const old = await saved('Old weed');
  await client.call('binRecord', { params: { id: old.id } }, { version: old.version });
  return mix.id;
}
