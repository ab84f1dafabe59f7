/**
 * How quickly Find answers on the page, in Chromium, on the demo studio's 50 clays.
 *
 * npm run build && npx tsx bench/find-page.ts [presses]
 *
 * Times are taken inside the page: from the time stamp the browser gave the press to the end of the
 * frame that paints the change (the first task after its animation callbacks, style, layout and
 * paint). A press comes at any moment between two frames, so up to 16.7 ms of waiting for the
 * screen are in every time, of the rival too; `in the next frame` counts the presses whose change
 * was there for the first frame the browser began after them, with none missed. The rival is a bare
 * page of the same React and button, whose only work is a square that changes colour. `4x` slows
 * the main thread only; workers run at full speed.
 */
import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { build } from 'vite';
import { seededChance } from '../src/core/numeric/seeded-chance.ts';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const PROGRAM = join(ROOT, 'dist/main/kneadwell.js');
const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium';
const PRESSES = Number(process.argv[2] ?? 60);
const IN_ONE_TURN = 10;
const AIMS = 20;
const COLD_LOADS = 3;
const PORT = 8941;

/** Runs in the page before anything else: what was seen, and when. */
const WATCH = `
globalThis.seen = {};
const note = (what) => { globalThis.seen[what] ??= performance.now(); };
new MutationObserver(() => {
  if (document.querySelector('[aria-label="Aim and mix"]')) note('open');
  if (document.querySelector('.recipes .recipe')) note('recipes');
}).observe(document, { childList: true, subtree: true });

// Resolves with milliseconds from a press to the change and to the frame that shows it.
globalThis.timed = (press, changed) => new Promise((resolve) => {
  let from;
  let frames = 0;
  let count = () => { frames++; requestAnimationFrame(() => count()); };
  addEventListener(press, (event) => {
    from = event.timeStamp;
    requestAnimationFrame(() => count());
  }, { capture: true, once: true });
  const before = changed();
  const watch = new MutationObserver(() => {
    if (from === undefined) return;
    const now = changed();
    if (now === undefined || now === before) return;
    watch.disconnect();
    const drawn = performance.now() - from;
    const missed = frames;
    count = () => {};
    requestAnimationFrame(() => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => resolve({ changed: drawn, shown: performance.now() - from, missed });
      port2.postMessage(undefined);
    });
  });
  watch.observe(document, { childList: true, subtree: true, attributes: true });
});
`;

const BARE = `
import { useState } from 'react';
import { createRoot } from 'react-dom/client';
import { Button } from 'react-aria-components';
function Bare() {
  const [n, setN] = useState(0);
  return (
    <>
      <span className="square" style={{ background: \`rgb(\${(n * 37) % 256} 90 90)\`, display: 'block', width: 300, height: 300 }} />
      <Button onPress={() => setN(n + 1)}>one more</Button>
    </>
  );
}
createRoot(document.getElementById('page')).render(<Bare />);
`;

interface Timed {
  readonly changed: number;
  readonly shown: number;
  /** Frames begun between the press and the change. */
  readonly missed: number;
}

/** What the press changes, read where the press is made. */
const BIG_TILE = `() => document.querySelectorAll('.find-bench .layer-colour > .tile')[1]?.style.background`;
const SQUARE = `() => document.querySelector('.square')?.style.background`;
/** The visible recipes, once they are those of the last question. */
const STANDING = `() => {
  const list = document.querySelector('[aria-label="Recipes found"]');
  if (!list || list.dataset.old) return undefined;
  return list.querySelector('.recipes .recipe')?.textContent + list.querySelector('.recipe .tile')?.style.background;
}`;

async function bareServer(): Promise<{ readonly url: string; readonly server: Server }> {
  mkdirSync(join(ROOT, 'node_modules/.cache'), { recursive: true });
  const root = mkdtempSync(join(ROOT, 'node_modules/.cache/bare-page-'));
  writeFileSync(join(root, 'main.jsx'), BARE);
  writeFileSync(
    join(root, 'index.html'),
    '<!doctype html><div id="page"></div><script type="module" src="./main.jsx"></script>',
  );
  const outDir = join(root, 'out');
  await build({
    root,
    configFile: false,
    logLevel: 'error',
    oxc: { jsx: { runtime: 'automatic' } },
    build: { outDir },
  } as Parameters<typeof build>[0]);
  const files = new Map<string, Buffer>();
  const server = createServer((request, response) => {
    const path = request.url === '/' ? '/index.html' : (request.url ?? '');
    const type = path.endsWith('.js') ? 'text/javascript' : 'text/html';
    try {
      const bytes = files.get(path) ?? readFileSync(join(outDir, path));
      files.set(path, bytes);
      response.writeHead(200, { 'content-type': type }).end(bytes);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  server.on('close', () => rmSync(root, { recursive: true, force: true }));
  const address = server.address();
  if (typeof address !== 'object' || address === null) throw new Error('no port');
  return { url: `http://127.0.0.1:${address.port}/`, server };
}

async function served(folder: string): Promise<ChildProcess> {
  const child = spawn(
    process.execPath,
    [PROGRAM, 'serve', '--folder', folder, '--port', String(PORT)],
    { stdio: ['ignore', 'pipe', 'inherit'] },
  );
  await new Promise<void>((ready, failed) => {
    child.stdout?.on('data', (chunk: Buffer) => {
      if (chunk.toString().includes('http://')) ready();
    });
    child.on('exit', (code) => failed(new Error(`the server ended with ${code}`)));
  });
  return child;
}

async function fresh(browser: Browser, slower: number): Promise<Page> {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
  await context.addInitScript(WATCH);
  const page = await context.newPage();
  const session = await context.newCDPSession(page);
  await session.send('Emulation.setCPUThrottlingRate', { rate: slower });
  return page;
}

const at = (sorted: readonly number[], share: number) =>
  sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
function row(name: string, values: readonly number[]): string {
  const sorted = values.toSorted((a, b) => a - b);
  const ms = (v: number) => v.toFixed(1).padStart(8);
  return `${name.padEnd(48)}${ms(at(sorted, 0.5))}${ms(at(sorted, 0.95))}${ms(sorted.at(-1) ?? Number.NaN)}${String(sorted.length).padStart(6)}`;
}

async function opening(browser: Browser, base: string, slower: number): Promise<void> {
  const opened: number[] = [];
  const recipes: number[] = [];
  for (let i = 0; i < COLD_LOADS; i++) {
    const page = await fresh(browser, slower);
    await page.goto(`${base}/find?aim=52_-18_22&called=Sea+moss`);
    await page.locator('.recipes .recipe').first().waitFor({ timeout: 120_000 });
    const seen = (await page.evaluate('globalThis.seen')) as Record<string, number>;
    opened.push(seen.open);
    recipes.push(seen.recipes);
    await page.context().close();
  }
  console.log(row('cold load to clays open', opened));
  console.log(row('cold load to first recipes', recipes));
}

async function aims(page: Page): Promise<void> {
  const random = seededChance(11);
  const between = (low: number, high: number) => low + random.uniform() * (high - low);
  const waits: Timed[] = [];
  await page.getByRole('radio', { name: 'By numbers' }).click();
  const box = page.getByRole('textbox', { name: 'Colour' });
  for (let i = 0; i < AIMS; i++) {
    const lab = [between(30, 80), between(-25, 35), between(-25, 40)].map((v) => v.toFixed(1));
    await box.fill(lab.join(' '));
    const timed = page.evaluate(`timed('click', ${STANDING})`) as Promise<Timed>;
    await page.getByRole('button', { name: 'Use this colour' }).click();
    waits.push(await timed);
    await page.getByText(/^All .* recipes checked/).waitFor();
  }
  console.log(
    row(
      'aim chosen to first recipes shown',
      waits.map(({ shown }) => shown),
    ),
  );
}

interface Pressed {
  readonly page: Page;
  readonly name: string;
  /**
   * Pressed in turns, back and forth, so that every press changes the colour by as much as the
   * first.
   */
  readonly buttons: readonly RegExp[];
  readonly read: string;
  readonly waits: Timed[];
  /** Processor time of the page's main thread, all presses together. */
  workMs: number;
}

/** The two in turns, so that a busy machine slows both. */
async function inTurns(two: readonly Pressed[]): Promise<void> {
  for (let round = 0; round < PRESSES / IN_ONE_TURN; round++)
    for (const one of two) await turn(one);
}

async function turn(one: Pressed): Promise<void> {
  const { page, buttons, read, waits } = one;
  await page.bringToFront();
  const pressed = buttons.map((name) => page.getByRole('button', { name }).first());
  const devtools = await page.context().newCDPSession(page);
  await devtools.send('Performance.enable', { timeDomain: 'threadTicks' });
  const workMs = async () => {
    const { metrics } = await devtools.send('Performance.getMetrics');
    return 1000 * metrics.find(({ name }) => name === 'TaskDuration')!.value;
  };
  const before = await workMs();
  for (let i = 0; i < IN_ONE_TURN; i++) {
    const timed = page.evaluate(`timed('pointerup', ${read})`) as Promise<Timed>;
    await pressed[i % pressed.length].click();
    waits.push(await timed);
    // As fast as a hand presses, and never in step with the frames.
    await page.waitForTimeout(60 + ((i * 7) % 23));
  }
  one.workMs += (await workMs()) - before;
  await devtools.detach();
}

function printed({ name, waits, workMs }: Pressed): number {
  console.log(
    row(
      `${name}: press to change`,
      waits.map(({ changed }) => changed),
    ),
  );
  const next = waits.filter(({ missed }) => missed === 0).length;
  console.log(
    `${`${name}: in the next frame`.padEnd(48)}${`${next} of ${waits.length}`.padStart(30)}`,
  );
  console.log(
    `${`${name}: processor time a press`.padEnd(48)}${(workMs / waits.length).toFixed(1).padStart(8)}`,
  );
  const shown = waits.map((wait) => wait.shown);
  console.log(row(`${name}: press to painted`, shown));
  return at(
    shown.toSorted((a, b) => a - b),
    0.95,
  );
}

const folder = mkdtempSync(join(tmpdir(), 'kneadwell-find-page-'));
execFileSync(process.execPath, [PROGRAM, 'demo', '--folder', folder], { stdio: 'ignore' });
const server = await served(join(folder, 'demo'));
const bare = await bareServer();
const browser = await chromium.launch({ executablePath: CHROMIUM, args: ['--no-sandbox'] });
try {
  const base = `http://127.0.0.1:${PORT}`;
  for (const slower of [1, 4]) {
    console.log(
      `\n${slower === 1 ? 'At full speed' : '4x slowed main thread'}, ms${'median'.padStart(34)}${'95 %'.padStart(8)}${'worst'.padStart(8)}${'n'.padStart(6)}`,
    );
    await opening(browser, base, slower);
    const page = await fresh(browser, slower);
    await page.goto(`${base}/find?aim=52_-18_22&called=Sea+moss`);
    await page.getByText(/^All .* recipes checked/).waitFor({ timeout: 120_000 });
    await aims(page);
    const rival = await fresh(browser, slower);
    await rival.goto(bare.url);
    const ours: Pressed = {
      page,
      name: 'a piece more',
      buttons: [/^Add one part of/, /^Remove one part of/],
      read: BIG_TILE,
      waits: [],
      workMs: 0,
    };
    const theirs: Pressed = {
      page: rival,
      name: 'bare counter',
      buttons: [/one more/],
      read: SQUARE,
      waits: [],
      workMs: 0,
    };
    await inTurns([ours, theirs]);
    const [our95, their95] = [printed(ours), printed(theirs)];
    console.log(`95 % of ours over 95 % of the bare page: ${(our95 / their95).toFixed(2)}`);
    await page.context().close();
    await rival.context().close();
  }
} finally {
  await browser.close();
  server.kill();
  bare.server.close();
  rmSync(folder, { recursive: true, force: true });
}
