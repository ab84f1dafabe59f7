// npx tsx bench/book-page.ts [-- --mixes 100000 --folder DIR]: the mix book in a real Chromium.
// Prints the time to the first tiles, frames while it is scrolled, time until tiles appear after a
// jump, calls and bytes. With --folder an existing book is opened and not changed.
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import type { Page } from 'playwright-core';
import { API_PREFIX } from '../src/api/paths.ts';
import { pageHere } from '../test/journeys/page.ts';
import { fillBook } from './large-book.ts';
import { quantile } from './random.ts';

const JUMPS = 30;
const SCROLL_FRAMES = 300;

const { values } = parseArgs({
  options: { mixes: { type: 'string', default: '100000' }, folder: { type: 'string' } },
});
const folder = values.folder ?? mkdtempSync(join(tmpdir(), 'kneadwell-page-bench-'));
if (values.folder === undefined) {
  console.log(`written in ${((await fillBook(folder, Number(values.mixes))) / 1000).toFixed(0)} s`);
}
const here = await pageHere(folder);
try {
  await here.run.server.book.index.ready;
  await here.run.server.book.sheets.warm();
  const context = await here.browser.newContext({
    viewport: { width: 1280, height: 900 },
    serviceWorkers: 'block',
  });
  const page = await here.open({ context });
  let calls = 0;
  let bytes = 0;
  page.on('response', async (response) => {
    const { pathname } = new URL(response.url());
    if (!pathname.startsWith(API_PREFIX) || pathname.endsWith('/events')) return;
    calls++;
    bytes += (await response.body().catch(() => Buffer.alloc(0))).length;
  });
  const printed = () => {
    const words = `${calls} calls, ${(bytes / 1024).toFixed(0)} kB`;
    calls = 0;
    bytes = 0;
    return words;
  };
  const opened = performance.now();
  await page.goto(`${here.run.server.url}/book?sort=name`);
  await allLoaded(page);
  const total = await page.locator('.contact-cell').first().getAttribute('aria-setsize');
  console.log(
    `${total} mixes: first tiles after ${ms(performance.now() - opened)} ms, ${printed()}`,
  );

  const jumps: number[] = [];
  for (let i = 0; i < JUMPS; i++) {
    const share = ((i * 7919) % 1000) / 1000;
    const from = performance.now();
    await page.locator('.contact').evaluate((box, part) => {
      const sheet = box as never as { scrollTop: number; scrollHeight: number };
      sheet.scrollTop = sheet.scrollHeight * part;
    }, share);
    await page.waitForTimeout(20);
    await allLoaded(page);
    jumps.push(performance.now() - from);
  }
  console.log(
    `${JUMPS} jumps: tiles appear after median ${ms(quantile(jumps, 0.5))}, p95 ${ms(quantile(jumps, 0.95))} ms, ${printed()}`,
  );

  for (const [name, step] of [
    ['a wheel', 100],
    ['a fling', 1500],
  ] as const) {
    const frames = (await page.evaluate(framesWhile(step))) as number[];
    await allLoaded(page);
    const late = frames.filter((frame) => frame > 33).length / frames.length;
    console.log(
      `scrolled by ${name}, ${step} px a frame: p50 ${ms(quantile(frames, 0.5))}, p95 ${ms(quantile(frames, 0.95))} ms a frame, ${(100 * late).toFixed(1)} % over 33 ms, ${printed()}`,
    );
  }
  await context.close();
} finally {
  await here.browser.close();
  await here.run.end(values.folder !== undefined);
}

/** Every visible tile has loaded. */
async function allLoaded(page: Page): Promise<void> {
  await page.locator('.contact-cell a').first().waitFor();
  await page.waitForFunction(
    `document.querySelectorAll('.contact-cell > .no-colour').length === 0`,
    undefined,
    { polling: 'raf' },
  );
}

/**
 * Scrolls down by a step with every frame, in the page itself, and returns the times between
 * frames.
 */
function framesWhile(step: number): string {
  return `new Promise((resolve) => {
    const box = document.querySelector('.contact');
    box.scrollTop = 0;
    const times = [];
    let last;
    const frame = (now) => {
      if (last !== undefined) times.push(now - last);
      last = now;
      box.scrollTop += ${step};
      if (times.length < ${SCROLL_FRAMES}) requestAnimationFrame(frame);
      else resolve(times);
    };
    requestAnimationFrame(frame);
  })`;
}

function ms(time: number): string {
  return time.toFixed(0);
}
