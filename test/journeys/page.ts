import { cpSync, existsSync, mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  type Browser,
  type BrowserContext,
  chromium,
  type Page,
  type Request,
} from 'playwright-core';
import sharp from 'sharp';
import { build } from 'vite';
import type { ApiClient } from '../../src/client/api-client.ts';
import { parseRecipe } from '../../src/core/notation/notation.ts';
import type { BookStep } from '../../src/domain/records/change.ts';
import { BUILT_PAGE } from '../built.ts';
import { madeOnce } from '../made-once.ts';
import { done, type Running, running } from '../server/running.ts';
import { ROOT } from './program.ts';

const PLACES = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];
const PROGRAM = [process.env.CHROMIUM ?? '', ...PLACES].find(
  (path) => path !== '' && existsSync(path),
);

/** Why the page cannot be looked at here; undefined where it can. */
export const NO_BROWSER =
  PROGRAM === undefined
    ? 'no Chromium is installed; name one in CHROMIUM to look at the page'
    : undefined;

/** How many times slower pages run, to walk any journey as on an old phone: KNEADWELL_SLOWED=4. */
const SLOWED = Number(process.env.KNEADWELL_SLOWED ?? 1);

/** Past this a page hangs; no measure of how quick it is. */
export const WAIT_MS = 120_000;

export interface PageHere {
  readonly run: Running;
  /** Where the built page lies. */
  readonly page: string;
  readonly browser: Browser;
  readonly client: ApiClient;
  /** A new browser window of its own: nothing kept on the device yet. */
  open(look?: Look): Promise<Page>;
  /** What pages said on their consoles that they should not have. */
  readonly complaints: string[];
  end(): Promise<void>;
}

export interface Look {
  readonly width?: number;
  readonly height?: number;
  readonly frame?: 'light' | 'dark';
  readonly surround?: 'light' | 'mid' | 'dark';
  /** Whether the page may keep a copy for use without the server, which costs as much as loading it. */
  readonly offline?: boolean;
  /** How many times slower the page runs. */
  readonly slowed?: number;
  readonly context?: BrowserContext;
}

/** The page as it is now, built into a folder; other settings give other names of files. */
export async function buildPage(
  outDir: string,
  settings: { readonly minify?: false } = {},
): Promise<void> {
  // A runner of tests names itself here, and the page would be built with everything for its makers in it.
  const env = process.env.NODE_ENV;
  process.env.NODE_ENV = 'production';
  await build({
    configFile: join(ROOT, 'vite.config.mjs'),
    build: { outDir, ...settings },
    logLevel: 'error',
  });
  process.env.NODE_ENV = env;
}

/** The page as it is now, one for all tests of a run. */
export function builtPage(): Promise<string> {
  return BUILT_PAGE === undefined
    ? madeOnce('page', (folder) => buildPage(folder))
    : Promise.resolve(BUILT_PAGE);
}

export function launched(
  args: readonly string[],
  without: readonly string[] = [],
): Promise<Browser> {
  return chromium.launch({
    executablePath: PROGRAM!,
    args: ['--no-sandbox', ...args],
    ignoreDefaultArgs: [...without],
  });
}

/**
 * The real page over the real server, on a book of its own or the one in `folder`, in a real browser whose
 * screen has a profile by Chromium's name.
 */
export async function pageHere(folder?: string, profile = 'srgb'): Promise<PageHere> {
  const page = await builtPage();
  const run = await running({ page }, folder);
  // Pixels are compared with sRGB; the machine's own profile must not come between.
  const browser = await launched([`--force-color-profile=${profile}`, '--disable-lcd-text']);
  const complaints: string[] = [];
  return {
    run,
    page,
    browser,
    client: run.client,
    complaints,
    async open(look = {}) {
      const { width = 1280, height = 900, frame = 'light', surround = 'mid', context } = look;
      const into =
        context ??
        (await browser.newContext({
          viewport: { width, height },
          reducedMotion: 'reduce',
          serviceWorkers: look.offline ? 'allow' : 'block',
        }));
      await into.addInitScript(
        `localStorage.setItem('kneadwell look', ${JSON.stringify(JSON.stringify({ frame, surround }))})`,
      );
      const opened = await into.newPage();
      opened.setDefaultTimeout(WAIT_MS);
      const rate = Math.max(look.slowed ?? 1, SLOWED);
      if (rate > 1) {
        const devtools = await into.newCDPSession(opened);
        await devtools.send('Emulation.setCPUThrottlingRate', { rate });
      }
      followCalls(opened);
      goOnceDialogsAreGone(opened);
      opened.on('console', (message) => {
        // A change that came second is refused with 409, and the page says so.
        const refused = message.text().includes('status of 409');
        if (message.type() === 'error' && !refused) complaints.push(message.text());
      });
      opened.on('pageerror', (fault) => complaints.push(fault.message));
      return opened;
    },
    async end() {
      await browser.close();
      await run.end();
    },
  };
}

const underWay = new WeakMap<Page, Set<Request>>();

/** Calls of a page that have no answer yet; the book's events keep one open for good, which is left out. */
export function callsUnderWay(page: Page): number {
  return underWay.get(page)?.size ?? 0;
}

function followCalls(page: Page): void {
  const calls = new Set<Request>();
  underWay.set(page, calls);
  page.on('request', (request) => {
    if (!new URL(request.url()).pathname.endsWith('/events')) calls.add(request);
  });
  page.on('requestfinished', (request) => calls.delete(request));
  page.on('requestfailed', (request) => calls.delete(request));
}

/**
 * A dialog that closes takes its own entry out of the history, a moment after it is gone from the screen. An
 * address that is opened in that moment would be given up for the step back, so `goto` waits for the step.
 */
function goOnceDialogsAreGone(page: Page): void {
  const goto = page.goto.bind(page);
  page.goto = async (...address) => {
    await page.waitForFunction(
      () => window.history.state?.dialog === undefined || document.querySelector('[role=dialog]'),
    );
    return goto(...address);
  };
}

const CELL = 120;

/** A picture of blocks in a row on a grey table; PNG bytes, and where each block's middle lies, 0-1. */
export async function pictureOf(
  colours: readonly (readonly [number, number, number])[],
): Promise<{ png: Buffer; middles: readonly (readonly [number, number])[] }> {
  const width = CELL * colours.length;
  const tiles = await Promise.all(
    colours.map(async ([r, g, b], i) => ({
      input: await sharp({
        create: { width: CELL - 30, height: CELL - 30, channels: 3, background: { r, g, b } },
      })
        .png()
        .toBuffer(),
      left: i * CELL + 15,
      top: 15,
    })),
  );
  const png = await sharp({
    create: { width, height: CELL, channels: 3, background: { r: 150, g: 150, b: 150 } },
  })
    .composite(tiles)
    .png()
    .toBuffer();
  return { png, middles: colours.map((_, i) => [(i + 0.5) / colours.length, 0.5] as const) };
}

/** The folder of a book with the tide pool in it and its clay model, a copy of one that is learned once. */
export async function tidePoolBook(): Promise<string> {
  const learned = await madeOnce('tide-pool', async (folder) => {
    const run = await running({}, folder);
    await tidePool(run.client);
    await learnTidePool(run.client);
    await run.end(true);
  });
  const folder = mkdtempSync(join(tmpdir(), 'kneadwell-tide-pool-'));
  cpSync(learned, folder, { recursive: true });
  return folder;
}

export async function learnTidePool(client: ApiClient): Promise<void> {
  const job = await done(client, { do: 'learn', name: 'Learned from the tide pool' });
  if (job.state !== 'done') throw new Error(`learning ended ${job.state}: ${job.says ?? ''}`);
}

/** Tiles of the demo's readings as records of a book. */
export async function tidePool(client: ApiClient): Promise<void> {
  const rows = readFileSync(`${ROOT}data/demo/tide-pool.csv`, 'utf8')
    .split('\n')
    .slice(2)
    .filter((row) => row !== '')
    .map((row) => row.split(','));
  const steps: BookStep[] = [];
  const idOf = (name: string) => name.toLowerCase().replace(/[^a-z0-9]+/g, '-');
  const put = (kind: string, id: string, body: unknown) =>
    steps.push({ do: 'put', kind, id, body } as unknown as BookStep);
  for (const line of ['Saltmarsh', 'Brindle', 'Lantern']) {
    put('line', idOf(line), { name: line, status: 'current' });
  }
  const blocks = new Set<string>();
  rows.forEach(([name, of, state, l, a, b, line], row) => {
    const recipe = parseRecipe(of);
    for (const { clay } of recipe) {
      if (blocks.has(clay)) continue;
      blocks.add(clay);
      const lineId = idOf(line === '' ? 'Brindle' : line);
      put('block', idOf(clay), { lineId, name: clay, clayType: 'opaque', status: 'current' });
    }
    const id = `${idOf(name)}-${row}`;
    put('tile', id, {
      name: `${name}${state === 'raw' ? ' raw' : ''}`,
      of: {
        parts: recipe.map(({ clay, parts }) => ({
          of: { kind: 'block', id: idOf(clay) },
          parts,
        })),
      },
      basis: 'volume',
      state,
      bakes: [],
    });
    put('reading', `${id}-read`, {
      of: { kind: 'tile', id },
      readingKind: 'measured',
      state,
      lab: { values: [Number(l), Number(a), Number(b)], light: 'D50', observer: 2 },
      spread: 0.5,
      geometry: 'excluded',
    });
  });
  await client.call('makeChange', {
    body: { what: 'The tide pool moved in', steps: steps as never },
  });
}
