/**
 * How long the page is blocked while a photo of 12 megapixels is loaded, read and shown. A rendered
 * tray is enlarged and chosen in the real page in Chromium, over the real server. Measured are the
 * longest task of the page's main thread (Long Tasks API, which reports tasks over 50 ms) and the
 * longest wait for a frame, from choosing the photo until its tiles appear, and then while a corner
 * is dragged; beside it the same for a photo of 2 megapixels, and for opening the empty screen.
 * Run:     npx tsx bench/photo-page.ts [--megapixels 12] [--slowed 4]
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import type { Page } from 'playwright-core';
import sharp from 'sharp';
import { NO_BROWSER, pageHere } from '../test/journeys/page.ts';
import { render } from '../test/studio-camera/render.ts';
import { randomScene } from '../test/studio-camera/scene.ts';
import { randomFrom } from './random.ts';

const { values } = parseArgs({
  options: {
    megapixels: { type: 'string', default: '12' },
    slowed: { type: 'string', default: '1' },
  },
});
if (NO_BROWSER !== undefined) throw new Error(NO_BROWSER);

const WATCH = `
  window.longest = 0; window.worstFrame = 0;
  new PerformanceObserver((list) => {
    for (const { duration } of list.getEntries()) window.longest = Math.max(window.longest, duration);
  }).observe({ type: 'longtask', buffered: true });
  let before = performance.now();
  const frame = (now) => {
    window.worstFrame = Math.max(window.worstFrame, now - before);
    before = now;
    requestAnimationFrame(frame);
  };
  requestAnimationFrame(frame);
`;

const here = await pageHere();
// Chosen from the disk, as a user does: bytes passed in by a test go through the page's main
// thread.
const folder = mkdtempSync(join(tmpdir(), 'kneadwell-photo-page-'));
try {
  const small = await trayOf(2);
  const large = await trayOf(Number(values.megapixels));
  // The first photo starts the worker that reads; the user waits for that once a day.
  await photographed(small, 'warm up');
  await photographed(small, '2 megapixels');
  await photographed(large, `${values.megapixels} megapixels`);
} finally {
  await here.end();
  rmSync(folder, { recursive: true });
}

async function photographed(path: string, name: string): Promise<void> {
  const page = await here.open();
  const session = await page.context().newCDPSession(page);
  await session.send('Emulation.setCPUThrottlingRate', { rate: Number(values.slowed) });
  await page.addInitScript(WATCH);
  await page.goto(`${here.run.server.url}/tiles/photo`);
  await page.getByRole('heading', { name: 'Tiles from a photo' }).waitFor();
  await page.waitForTimeout(1500);
  const opening = await taken(page);
  const started = performance.now();
  await page.locator('input[type=file]').first().setInputFiles(path);
  await page.locator('.tile-row').first().waitFor();
  const shownMs = performance.now() - started;
  await page.waitForTimeout(1000);
  const reading = await taken(page);
  const corner = page.locator('.corner').first();
  await corner.scrollIntoViewIfNeeded();
  const box = (await corner.boundingBox())!;
  await taken(page);
  await page.mouse.move(box.x + 22, box.y + 22);
  await page.mouse.down();
  for (let i = 0; i < 40; i++) await page.mouse.move(box.x + 22 + i, box.y + 22 + i / 2);
  const dragging = await taken(page);
  await page.mouse.up();
  const tell = ({ longest, worstFrame }: Awaited<ReturnType<typeof taken>>) =>
    `${longest === 0 ? 'under 50' : longest.toFixed(0)} ms, frame ${worstFrame.toFixed(0)} ms`;
  process.stdout.write(
    `${name} (${(statSync(path).size / 1e6).toFixed(1)} MB): tiles shown after ${(shownMs / 1000).toFixed(1)} s; ` +
      `longest task opening ${tell(opening)}; reading ${tell(reading)}; dragging ${tell(dragging)}\n`,
  );
  await page.context().close();
}

async function taken(page: Page) {
  const measured = (await page.evaluate(
    '(() => { const told = { longest, worstFrame }; longest = 0; worstFrame = 0; return told; })()',
  )) as { longest: number; worstFrame: number };
  return measured;
}

async function trayOf(megapixels: number): Promise<string> {
  const path = join(folder, `${megapixels}.jpg`);
  const random = randomFrom(9);
  const scene = {
    ...randomScene(random, 'D65'),
    output: 'sRGB' as const,
    shadow: undefined,
    hand: undefined,
  };
  const { codes, width, height } = render(scene, random);
  const scale = Math.sqrt((megapixels * 1e6) / (width * height));
  await sharp(codes, { raw: { width, height, channels: 3 } })
    .resize(Math.round(width * scale), Math.round(height * scale), { kernel: 'cubic' })
    .jpeg({ quality: 92 })
    .toFile(path);
  return path;
}
