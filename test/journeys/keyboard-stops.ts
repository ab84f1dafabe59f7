import type { Page } from 'playwright-core';
import { NOT_REACHED, REACHED, WRONG_IN_FORCED_COLOURS } from './probes.ts';

interface Stop {
  readonly words: string;
  readonly problems: readonly string[];
  readonly again: boolean;
}

/** Stops of Tab looked at on one screen; the longest lists go on alike. */
const MOST_STOPS = 70;

const reached = (page: Page) => page.evaluate(REACHED) as Promise<Stop | null>;

/** What Tab passes over, reaches unseen or reaches out of sight on the screen as it is shown. */
export async function keyboardProblems(page: Page): Promise<string[]> {
  const problems: string[] = [];
  await page.evaluate('window.reachedBefore = new WeakSet()');
  // Past the last stop the keyboard leaves the page once, and comes in again at the first.
  for (let stops = 0, left = 0; left < 2; stops++) {
    await page.keyboard.press('Tab');
    const at = await reached(page);
    if (at === null) left++;
    else problems.push(...at.problems.map((what) => `${at.words}: ${what}`));
    if (at?.again === true) break;
    if (stops === MOST_STOPS) break;
  }
  const all = (await page.evaluate(
    'document.querySelectorAll("a, button, input").length',
  )) as number;
  if (all < MOST_STOPS) {
    const never = (await page.evaluate(NOT_REACHED)) as string[];
    problems.push(...never.map((one) => `${one}: never reached`));
  }
  return problems;
}

/** What is wrong where the user has the system choose the colours: clay changed, edges or the mark of the keyboard gone. */
export async function forcedColourProblems(page: Page): Promise<string[]> {
  await page.emulateMedia({ forcedColors: 'active' });
  const { problems } = (await page.evaluate(WRONG_IN_FORCED_COLOURS)) as { problems: string[] };
  await page.keyboard.press('Tab');
  const unmarked = (await reached(page))?.problems.includes('not seen to be reached') === true;
  await page.emulateMedia({ forcedColors: 'none' });
  return unmarked ? [...problems, 'the keyboard is not seen'] : problems;
}
