import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { displayP3FromLab, srgbFromLab } from '../../src/core/colour/display.ts';
import { labFromLch } from '../../src/core/colour/spaces.ts';
import { NO_BROWSER, type PageHere, pageHere } from './page.ts';
import { openSeeded, seededBlocks } from './seeded-blocks.ts';

// Chromium's own names of the profiles of a screen; with the second, CSS sees a gamut of Display P3.
let narrow: PageHere;
let wide: PageHere;
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  narrow = await pageHere();
  wide = await pageHere(undefined, 'display-p3-d65');
});
afterAll(async () => {
  await narrow?.end();
  await wide?.end();
});

const CELL = '.stock-cell';
const backgrounds = (page: Page) =>
  page
    .locator(`${CELL} .block-left`)
    .evaluateAll((all) => all.map((one) => one.getAttribute('style') ?? ''));

describe.skipIf(NO_BROWSER !== undefined)(`a wider screen (${NO_BROWSER ?? 'browser'})`, () => {
  // displayP3FromLab is itself held to CSS Color 4 in src/core/colour/display.test.ts.
  it('shows 200 seeded tiles within a code of 255 of the Display P3 that was computed', async () => {
    const labs = await seededBlocks(wide.client);
    const page = await wide.open();
    await openSeeded(page, wide.run.server.url);
    expect(await page.evaluate('matchMedia("(color-gamut: p3)").matches')).toBe(true);
    // Each tile's colour as the browser itself paints it, on a canvas of Display P3.
    const seen = (await page.evaluate(`(() => {
      const canvas = document.createElement('canvas');
      canvas.width = canvas.height = 1;
      const ink = canvas.getContext('2d', { colorSpace: 'display-p3', willReadFrequently: true });
      return [...document.querySelectorAll('${CELL}')].map((one) => {
        ink.fillStyle = getComputedStyle(one.querySelector('.block-left')).backgroundColor;
        ink.fillRect(0, 0, 1, 1);
        const { data } = ink.getImageData(0, 0, 1, 1, { colorSpace: 'display-p3' });
        return { name: one.querySelector('.tray-name').textContent, rgb: [...data].slice(0, 3) };
      });
    })()`)) as { name: string; rgb: number[] }[];
    expect(seen.length).toBe(labs.size);
    let worst = 0;
    let beyond = 0;
    for (const { name, rgb } of seen) {
      const lab = labs.get(name)!;
      const meant = displayP3FromLab(lab);
      if (meant.shown && !srgbFromLab(lab).shown) beyond++;
      for (let k = 0; k < 3; k++) worst = Math.max(worst, Math.abs(rgb[k] / 255 - meant.rgb[k]));
    }
    expect(worst).toBeLessThanOrEqual(1 / 255);
    // Some of them no narrower screen could show.
    expect(beyond).toBeGreaterThanOrEqual(5);
    await page.context().close();
  });

  it('marks what no screen of its kind can show, and only that', async () => {
    const between = labFromLch([60, 70, 150]);
    const beyond = labFromLch([60, 110, 150]);
    expect([srgbFromLab(between).shown, displayP3FromLab(between).shown]).toEqual([false, true]);
    expect(displayP3FromLab(beyond).shown).toBe(false);
    const mark = 'stronger than this screen can show';
    for (const [here, lab, marked] of [
      [narrow, between, true],
      [wide, between, false],
      [wide, beyond, true],
    ] as const) {
      await here.client.call('makeChange', {
        body: {
          what: 'A bright block',
          steps: [
            { do: 'put', kind: 'line', id: 'l', body: { name: 'Lantern', status: 'current' } },
            {
              do: 'put',
              kind: 'block',
              id: 'b',
              body: { lineId: 'l', name: 'Glow', clayType: 'opaque', status: 'current' },
            },
            {
              do: 'put',
              kind: 'reading',
              id: 'r',
              body: {
                of: { kind: 'block', id: 'b' },
                readingKind: 'measured',
                state: 'baked',
                lab: { values: [...lab], light: 'D50', observer: 2 },
                spread: 0.5,
                geometry: 'excluded',
              },
            },
          ] as never,
        },
      });
      const page = await here.open();
      await page.goto(`${here.run.server.url}/stock`);
      await page
        .locator('.stock-cell', { hasText: 'Glow' })
        .locator('.block-left:not(.no-colour)')
        .waitFor();
      const answer = await page.locator('.stock-cell', { hasText: 'Glow' }).textContent();
      expect([answer?.includes(mark), lab]).toEqual([marked, lab]);
      await page.context().close();
      for (const id of ['r', 'b', 'l']) {
        const { version } = (await here.client.call('getRecord', { params: { id } })).body;
        await here.client.call('binRecord', { params: { id } }, { version });
      }
      await here.client.call('purgeDeleted', {});
    }
  });

  it('paints again when the window moves to another screen', async () => {
    await seededBlocks(narrow.client);
    const page = await narrow.open();
    await openSeeded(page, narrow.run.server.url);
    expect((await backgrounds(page)).join()).not.toContain('display-p3');
    const devtools = await page.context().newCDPSession(page);
    await devtools.send('Emulation.setEmulatedMedia', {
      features: [{ name: 'color-gamut', value: 'p3' }],
    });
    await expect
      .poll(async () => (await backgrounds(page)).every((one) => one.includes('display-p3')))
      .toBe(true);
    await page.context().close();
  });
});
