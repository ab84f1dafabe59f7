// The page against a bare page of the same libraries, both cold, in one run, on a processor slowed four times:
//   npx tsx bench/page.ts [loads]
// Bare: React, router, query cache and accessible components, and one screen with a heading and a button.
import { mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { Browser } from 'playwright-core';
import { build } from 'vite';
import { builtPage, launched, NO_BROWSER } from '../test/journeys/page.ts';
import { ROOT } from '../test/journeys/program.ts';
import { running } from '../test/server/running.ts';

const LOADS = Number(process.argv[2] ?? 7);
const SLOWED = 4;
/**
 * After this time without work of 50 ms and more, a page counts as ready from the end of the last
 * such work (TTI, shortened).
 */
const QUIET_MS = 2000;

const BARE = `
import { QueryClient, QueryClientProvider, useQuery } from '@tanstack/react-query';
import { createRootRoute, createRoute, createRouter, Link, Outlet, RouterProvider } from '@tanstack/react-router';
import { StrictMode, useState } from 'react';
import { Button } from 'react-aria-components';
import { createRoot } from 'react-dom/client';
const root = createRootRoute({ component: Outlet });
function Empty() {
  const [count, setCount] = useState(0);
  const { data } = useQuery({ queryKey: ['x'], queryFn: async () => 1 });
  return <main><h1>Nothing {data}</h1><Link to="/">Here</Link><Button onPress={() => setCount(count + 1)}>{count}</Button></main>;
}
const router = createRouter({ routeTree: root.addChildren([createRoute({ getParentRoute: () => root, path: '/', component: Empty })]) });
createRoot(document.getElementById('page')!).render(
  <StrictMode><QueryClientProvider client={new QueryClient()}><RouterProvider router={router} /></QueryClientProvider></StrictMode>);
`;
const BARE_INDEX =
  '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Bare</title></head><body><div id="page"></div><script type="module" src="./main.tsx"></script></body></html>';

async function barePage(): Promise<string> {
  const folder = mkdtempSync(join(tmpdir(), 'kneadwell-bare-'));
  symlinkSync(join(ROOT, 'node_modules'), join(folder, 'node_modules'));
  mkdirSync(join(folder, 'src'));
  writeFileSync(join(folder, 'src', 'main.tsx'), BARE);
  writeFileSync(join(folder, 'src', 'index.html'), BARE_INDEX);
  const env = process.env.NODE_ENV;
  process.env.NODE_ENV = 'production';
  await build({
    configFile: false,
    root: join(folder, 'src'),
    logLevel: 'error',
    build: { outDir: join(folder, 'dist'), assetsInlineLimit: 0, target: 'es2022' },
  });
  process.env.NODE_ENV = env;
  return folder;
}

/** Runs before anything of the page. */
const WATCH = `
  window.watched = { long: [], stands: undefined };
  new PerformanceObserver((list) => {
    for (const { startTime, duration } of list.getEntries()) window.watched.long.push([startTime, duration]);
  }).observe({ type: 'longtask', buffered: true });
  const look = () => {
    if (window.watched.stands === undefined && document.querySelector('h1, h2') !== null) {
      window.watched.stands = performance.now();
      window.watched.scripts = performance.getEntriesByType('resource').filter(({ name }) => name.endsWith('.js')).map(({ name }) => new URL(name).pathname);
    }
  };
  new MutationObserver(look).observe(document, { childList: true, subtree: true });
`;

interface Load {
  readonly firstPaint: number;
  readonly contentful: number;
  readonly stands: number;
  readonly ready: number;
  readonly blocked: number;
  readonly scripts: readonly string[];
}

async function load(browser: Browser, url: string): Promise<Load> {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
  const page = await context.newPage();
  const devtools = await context.newCDPSession(page);
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: SLOWED });
  await page.addInitScript(WATCH);
  await page.goto(url);
  // The page's policy forbids scripts as text, so the question is repeated from here.
  const still = () =>
    page.evaluate(`(() => {
      const { long, stands } = window.watched;
      const end = Math.max(0, ...long.map(([from, lasts]) => from + lasts));
      return stands !== undefined && performance.now() - Math.max(end, stands) > ${QUIET_MS};
    })()`);
  for (const until = Date.now() + 60_000; !(await still()); ) {
    if (Date.now() > until) throw new Error(`${url} does not come to rest.`);
    await page.waitForTimeout(200);
  }
  const seen = (await page.evaluate(`(() => {
    const paint = Object.fromEntries(performance.getEntriesByType('paint').map(({ name, startTime }) => [name, startTime]));
    return { ...window.watched, paint };
  })()`)) as {
    long: [number, number][];
    stands: number;
    scripts: string[];
    paint: Record<string, number>;
  };
  await context.close();
  const contentful = seen.paint['first-contentful-paint'];
  // The last long work before the first pause of QUIET_MS after something is visible.
  let ready = Math.max(contentful, seen.stands);
  for (const [from, lasts] of seen.long) {
    if (from - ready > QUIET_MS) break;
    ready = Math.max(ready, from + lasts);
  }
  const blocked = seen.long.reduce((sum, [, lasts]) => sum + Math.max(0, lasts - 50), 0);
  const firstPaint = seen.paint['first-paint'];
  return { firstPaint, contentful, stands: seen.stands, ready, blocked, scripts: seen.scripts };
}

const fastest = (values: readonly number[]) => Math.min(...values);
const median = (values: readonly number[]) =>
  [...values].sort((one, other) => one - other)[Math.floor(values.length / 2)];

function gzipKb(folder: string, scripts: readonly string[]): number {
  const bytes = [...new Set(scripts)].reduce(
    (sum, path) => sum + gzipSync(readFileSync(join(folder, path)), { level: 9 }).length,
    0,
  );
  return bytes / 1000;
}

if (NO_BROWSER !== undefined) throw new Error(NO_BROWSER);
const bare = await barePage();
const ours = await builtPage();
const bareRun = await running({ page: join(bare, 'dist') });
const oursRun = await running({ page: ours });
await oursRun.client.call('moveDemoIn', {});
const browser = await launched([]);
const pages = [
  ['bare', join(bare, 'dist'), `${bareRun.server.url}/`],
  ['/', ours, `${oursRun.server.url}/`],
  ['/find', ours, `${oursRun.server.url}/find`],
  ['/book', ours, `${oursRun.server.url}/book`],
] as const;
// In turns, so that a busy machine slows all alike; the first load of each is dropped.
const loads: Load[][] = pages.map(() => []);
for (let turn = 0; turn <= LOADS; turn++)
  for (const [i, [, , url]] of pages.entries()) {
    const one = await load(browser, url);
    if (turn > 0) loads[i].push(one);
  }
await browser.close();
const columns = ['firstPaint', 'contentful', 'stands', 'ready', 'blocked'] as const;
console.log(
  `${LOADS} cold loads each, processor slowed ${SLOWED} times; ms (ratio to bare), median and fastest`,
);
console.log(['page', 'script kB gz', 'workers kB gz', ...columns].join('\t'));
// The fastest is what a busy machine leaves of the truth.
const lines = [median, fastest].flatMap((pick) => pages.map((page, i) => ({ page, i, pick })));
for (const { page, i, pick } of lines) {
  const [name, folder] = page;
  const of = (from: number, column: (typeof columns)[number]) =>
    pick(loads[from].map((one) => one[column]));
  // Workers run beside the page and delay nothing visible.
  const isWorker = (path: string) => /-worker\b/.test(path);
  const script = gzipKb(
    folder,
    loads[i][0].scripts.filter((path) => !isWorker(path)),
  );
  const workers = gzipKb(folder, loads[i][0].scripts.filter(isWorker));
  const cells = columns.map((column) => {
    const own = of(i, column);
    return `${own.toFixed(0)} (${(own / Math.max(1, of(0, column))).toFixed(2)})`;
  });
  console.log([name, script.toFixed(1), workers.toFixed(1), ...cells].join('\t'));
}
await bareRun.end();
await oursRun.end();
for (const folder of [bare, ours]) rmSync(folder, { recursive: true, force: true });
