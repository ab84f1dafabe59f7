/**
 * Draws every screen of the page over the demo studio and over an empty book, on a desktop, a tablet and a
 * phone, light and dark, and puts them on one sheet a size and frame, to look at:
 *
 *   npx tsx bench/contact-sheet.ts FOLDER [--size desktop|tablet|phone] [--only WORDS]
 *
 * `--only` takes parts of screens' names, with commas.
 */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import sharp from 'sharp';
import { NO_BROWSER, type PageHere, pageHere } from '../test/journeys/page.ts';
import { EMPTY_SCREENS, goTo, SCREENS, type Screen } from '../test/journeys/screens.ts';
import sharedFolder from '../test/shared-folder.ts';
import { deleteFigure, demoBook, mixWithTile } from './demo-studio.ts';

const SIZES = { desktop: [1440, 900], tablet: [820, 1180], phone: [390, 844] } as const;
type Size = keyof typeof SIZES;
const FRAMES = ['light', 'dark'] as const;
const THUMB = { desktop: 480, tablet: 300, phone: 240 } as const;
const COLUMNS = { desktop: 4, tablet: 6, phone: 8 } as const;
const LABEL = 28;
const GAP = 12;

interface Drawn {
  readonly name: string;
  readonly frame: (typeof FRAMES)[number];
  readonly path: string;
}

const [folder, ...options] = process.argv.slice(2);
if (folder === undefined) throw new Error('Name a folder for the pictures.');
if (NO_BROWSER !== undefined) throw new Error(NO_BROWSER);
const option = (name: string) => {
  const at = options.indexOf(name);
  return at < 0 ? undefined : options[at + 1];
};
const sizes = Object.keys(SIZES).filter((size) => (option('--size') ?? size) === size) as Size[];
const only = (option('--only') ?? '').toLowerCase().split(',');
const drawn = (screens: readonly Screen[]) =>
  screens.filter(({ name }) => only.some((part) => name.toLowerCase().includes(part)));
mkdirSync(folder, { recursive: true });

const removeShared = sharedFolder();
const full = await pageHere(await demoBook());
await deleteFigure(full.client);
const empty = await pageHere();
for (const size of sizes) {
  const pictures = [
    ...(await drawAll(full, drawn(SCREENS), size, await mixWithTile(full.client))),
    ...(await drawAll(empty, drawn(EMPTY_SCREENS), size, '')),
  ];
  for (const frame of FRAMES) {
    await overview(
      pictures.filter((one) => one.frame === frame),
      size,
      join(folder, `all-${size}-${frame}.png`),
    );
  }
}
for (const words of [...full.complaints, ...empty.complaints])
  console.log('the console says:', words);
await empty.end();
await full.end();
removeShared();

async function drawAll(
  here: PageHere,
  screens: readonly Screen[],
  size: Size,
  mix: string,
): Promise<Drawn[]> {
  const [width, height] = SIZES[size];
  const into: Drawn[] = [];
  for (const screen of screens) {
    const context = await here.browser.newContext({
      viewport: { width, height },
      hasTouch: size !== 'desktop',
      reducedMotion: 'reduce',
    });
    const page = await here.open({ context });
    try {
      await goTo(page, here.run.server.url, screen, mix);
    } catch (fault) {
      console.log(`${screen.name}, ${size}: ${String(fault).slice(0, 300)}`);
    }
    const wide = await tooWide(page);
    if (wide !== '') console.log(`${screen.name}, ${size}: wider than the screen: ${wide}`);
    for (const frame of FRAMES) {
      await page.evaluate(`document.documentElement.dataset.frame = '${frame}'`);
      const name = screen.name.toLowerCase().replace(/[^a-z0-9]+/g, '-');
      const path = join(folder, `${name}-${size}-${frame}.png`);
      await page.screenshot({ path });
      into.push({ name: screen.name, frame, path });
    }
    await context.close();
  }
  return into;
}

function tooWide(page: Page): Promise<string> {
  return page.evaluate(`(() => {
    const width = document.documentElement.clientWidth;
    if (document.documentElement.scrollWidth <= width) return '';
    return [...document.querySelectorAll('main *')]
      .filter((one) => one.getBoundingClientRect().right > width + 1)
      .slice(0, 3).map((one) => one.className || one.tagName).join(', ');
  })()`);
}

async function overview(pictures: readonly Drawn[], size: Size, path: string): Promise<void> {
  if (pictures.length === 0) return;
  const [width, height] = SIZES[size];
  const across = THUMB[size];
  const down = Math.round((across * height) / width);
  const columns = Math.min(COLUMNS[size], pictures.length);
  const place = (i: number) => ({
    left: GAP + (i % columns) * (across + GAP),
    top: GAP + Math.floor(i / columns) * (down + LABEL + GAP),
  });
  const parts = await Promise.all(
    pictures.map(async ({ name, path: from }, i) => {
      const { left, top } = place(i);
      const label = `<svg xmlns="http://www.w3.org/2000/svg" width="${across}" height="${LABEL}"><text x="0" y="20" font-family="sans-serif" font-size="16">${name}</text></svg>`;
      return [
        { input: Buffer.from(label), left, top },
        { input: await sharp(from).resize(across, down).png().toBuffer(), left, top: top + LABEL },
      ];
    }),
  );
  await sharp({
    create: {
      width: GAP + columns * (across + GAP),
      height: GAP + Math.ceil(pictures.length / columns) * (down + LABEL + GAP),
      channels: 3,
      background: { r: 200, g: 200, b: 200 },
    },
  })
    .composite(parts.flat())
    .png()
    .toFile(path);
  console.log(path);
}
