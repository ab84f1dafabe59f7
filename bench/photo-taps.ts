/**
 * How many taps lead from twelve baked tiles to an updated clay model, on a phone: from *Tiles*, a photo of the
 * printed sheet with twelve tiles of known blocks, each named by the two letters stamped into it. Counted are the
 * taps on the page, of which one opens the camera, and the keys; the taps of the phone's own camera are not. The
 * seconds are those the page lets the user wait.
 *
 *   npx tsx bench/photo-taps.ts [--slowed 1]
 */
import { parseArgs } from 'node:util';
import type { Locator } from 'playwright-core';
import { make } from '../src/domain/changes/steps.ts';
import { NO_BROWSER, pageHere, tidePoolBook } from '../test/journeys/page.ts';
import { file, photoInput, photosRead } from '../test/journeys/photo-screen.ts';
import sharedFolder from '../test/shared-folder.ts';
import { photographOf } from '../test/studio-camera/photograph.ts';
import { randomScene, type Scene } from '../test/studio-camera/scene.ts';
import { type Random, randomFrom } from './random.ts';

const TILES = 12;
const { values } = parseArgs({ options: { slowed: { type: 'string', default: '1' } } });
if (NO_BROWSER !== undefined) throw new Error(NO_BROWSER);

const end = sharedFolder();
const [scene, random] = sceneOf(TILES);
const { bytes } = await photographOf(scene, random);
const here = await pageHere(await tidePoolBook());
const codes = scene.tiles.map((_, i) => `P${String.fromCharCode(65 + i)}`);
await here.client.call('makeChange', {
  body: {
    what: 'Knew blocks',
    steps: scene.tiles.flatMap(({ lab }, i) => [
      make(
        'block',
        { lineId: 'brindle', name: codes[i], clayType: 'opaque', status: 'current' },
        `block-${i}`,
      ),
      make(
        'reading',
        {
          of: { kind: 'block', id: `block-${i}` },
          readingKind: 'measured',
          state: 'baked',
          lab: { values: [...lab], light: 'D50', observer: 2 },
          spread: 0.5,
          geometry: 'excluded',
        },
        `colour-${i}`,
      ),
    ]),
  },
});

const page = await here.open({ width: 390, height: 844 });
const devtools = await page.context().newCDPSession(page);
await devtools.send('Emulation.setCPUThrottlingRate', { rate: Number(values.slowed) });
await page.goto(`${here.run.server.url}/tiles`);

let taps = 0;
let waitedMs = 0;
const tap = async (what: Locator) => {
  await what.click();
  taps++;
};
const waited = async (until: Promise<unknown>) => {
  const from = performance.now();
  await until;
  waitedMs += performance.now() - from;
};
const button = (name: string | RegExp) => page.getByRole('button', { name });

await page.getByRole('link', { name: 'Add tiles from a photo' }).waitFor();
await tap(page.getByRole('link', { name: 'Add tiles from a photo' }));
await button(/^(Take|Choose) /)
  .first()
  .waitFor();
taps++;
await photoInput(page).setInputFiles(file('tray.jpg', bytes));
await waited(photosRead(page));
await tap(page.locator('[data-row]').first().getByRole('textbox'));
// Enter leads from tile to tile, past those that were read poorly and are left out, and then accepts.
let keys = 0;
const named = new Set<string>();
for (;;) {
  const place = await page.evaluate<string | undefined>(
    'document.activeElement.closest("[data-row]")?.dataset.row',
  );
  const code = codes[scene.tiles.findIndex((tile) => tile.place === place)];
  if (place === undefined || named.has(place)) break;
  named.add(place);
  await page.keyboard.type(code);
  await page.keyboard.press('Enter');
  keys += code.length + 1;
}
const saved = page.getByRole('heading', { name: / tiles saved$/ });
await waited(saved.waitFor());
const said = await saved.textContent();
await tap(button('Update the model'));
await waited(page.getByRole('heading', { name: 'The clay model is updated' }).waitFor());
console.log(
  `From ${TILES} baked tiles to an updated clay model (${said}): ${taps} taps, ${keys} keys, ${(waitedMs / 1000).toFixed(1)} s of waiting`,
);
await here.end();
end();

/** The first scene with this many tiles, and the chance it goes on with. */
function sceneOf(tiles: number): readonly [Scene, Random] {
  for (let seed = 25; ; seed++) {
    const random = randomFrom(seed);
    const scene = randomScene(random, 'D65', { pairs: false });
    if (scene.tiles.length === tiles) return [scene, random];
  }
}
