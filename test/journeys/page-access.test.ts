import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { rulesBroken } from './accessibility-rules.ts';
import { forcedColourProblems, keyboardProblems } from './keyboard-stops.ts';
import { NO_BROWSER, type PageHere, pageHere } from './page.ts';
import {
  CUT_OFF,
  MOVING,
  NOT_SPACED_OUT,
  SMALL_TARGETS,
  SPACED_OUT,
  UNNAMED_COLOURS,
} from './probes.ts';
import { drawn, pageToLookAt, SCREENS, turnTo } from './screens.ts';

let here: PageHere;
let page: Page;
let mix = '';
beforeAll(async () => {
  if (NO_BROWSER !== undefined) return;
  ({ here, mix } = await pageToLookAt());
  page = await here.open();
});
afterAll(async () => {
  await here?.end();
});

const NARROW = { width: 360, height: 740 };
const WIDE = { width: 1440, height: 900 };
/** WCAG 2.2, 1.4.10: 1280 px at 400 %. */
const REFLOW = { width: 320, height: 640 };
/** WCAG 2.2, 1.4.4: 1440 px at 200 %. */
const ZOOMED = { width: 720, height: 450 };
/** Looks at a problem before it counts, each after two frames; fewer where a look takes long. */
const LOOKS = 30;
const LONG_LOOKS = 3;

type Frame = readonly ['light' | 'dark', 'light' | 'mid' | 'dark'];
/**
 * A screen is looked at in both frames, and in both widths; the next screen the other way round. Most parts
 * are on many screens, so that each is met in every frame at every width.
 */
const FRAMES: readonly { readonly onPhone: Frame; readonly wide: Frame }[] = [
  { onPhone: ['light', 'mid'], wide: ['dark', 'mid'] },
  { onPhone: ['dark', 'dark'], wide: ['light', 'light'] },
];

const inFrame = ([frame, surround]: Frame) =>
  page.evaluate(
    `Object.assign(document.documentElement.dataset, ${JSON.stringify({ frame, surround })})`,
  );
const measured = (probe: string) => page.evaluate(probe) as Promise<string[]>;

/** What is found for good: long lists are laid out, and answers come in, while the page is looked at. */
async function lasting(look: () => Promise<string[]>, looks: number): Promise<string[]> {
  let found = await look();
  for (let again = 1; found.length > 0 && again < looks; again++) {
    await drawn(page);
    found = await look();
  }
  return found;
}

/** On a phone; what a bar at the thumb covers for a moment is scrolled to, so it is looked at uncovered. */
async function rulesBrokenAtThumb(): Promise<string[]> {
  const found = await lasting(() => rulesBroken(page), LONG_LOOKS);
  if (found.every((one) => !one.includes('obscured'))) return found;
  const height = (await page.evaluate('document.documentElement.scrollHeight')) as number;
  await page.setViewportSize({ ...NARROW, height });
  const uncovered = await lasting(() => rulesBroken(page), LONG_LOOKS);
  await page.setViewportSize(NARROW);
  return uncovered;
}

const remaining = (probe: string) => lasting(() => measured(probe), LOOKS);

describe.skipIf(NO_BROWSER !== undefined)(
  `the page for everybody (${NO_BROWSER ?? 'browser'})`,
  () => {
    it.each(SCREENS.map((screen, i) => ({ ...screen, ...FRAMES[i % FRAMES.length] })))(
      '$name: keys, forced colours, rules, zoom, spacing, touch, movement, names',
      async ({ onPhone, wide, ...screen }) => {
        const problems: Record<string, unknown> = {};
        const tell = (what: string, found: readonly string[]) => {
          if (found.length > 0) problems[what] = found;
        };
        await page.setViewportSize(NARROW);
        await turnTo(page, here.run.server.url, screen, mix);
        await inFrame(onPhone);
        tell('by the keys, 360', await lasting(() => keyboardProblems(page), LONG_LOOKS));
        tell('forced colours', await lasting(() => forcedColourProblems(page), LONG_LOOKS));
        tell(`axe, ${onPhone.join(', ')}, 360`, await rulesBrokenAtThumb());
        tell('small to the finger at 360', await remaining(SMALL_TARGETS));
        await page.setViewportSize(REFLOW);
        tell('cut off at 320', await remaining(CUT_OFF));
        await page.evaluate(SPACED_OUT);
        tell('cut off at 320, spaced out', await remaining(CUT_OFF));
        await page.evaluate(NOT_SPACED_OUT);
        await page.setViewportSize(ZOOMED);
        tell('cut off at 200 %', await remaining(CUT_OFF));
        await page.setViewportSize(WIDE);
        await inFrame(wide);
        tell(`axe, ${wide.join(', ')}, 1440`, await lasting(() => rulesBroken(page), LONG_LOOKS));
        tell('moving', await measured(MOVING));
        const unnamed = async () =>
          ((await page.evaluate(UNNAMED_COLOURS)) as { problems: string[] }).problems;
        tell('colours without a name', await lasting(unnamed, LOOKS));
        expect(problems).toEqual({});
      },
    );

    it('breaks no rule before there is anything in the book', async () => {
      const empty = await pageHere();
      const first = await empty.open(NARROW);
      const problems: string[] = [];
      const screens = SCREENS.filter(({ path, action }) => !path.includes(':') && !action);
      for (const { name, path } of screens) {
        await turnTo(first, empty.run.server.url, { name, path }, '');
        const broken = await lasting(() => rulesBroken(first), LONG_LOOKS);
        problems.push(...broken.map((one) => `${path}: ${one}`));
      }
      expect(problems).toEqual([]);
      expect([...here.complaints, ...empty.complaints]).toEqual([]);
      await empty.end();
    });
  },
);
