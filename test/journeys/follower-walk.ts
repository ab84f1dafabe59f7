/**
 * What a follower does with a link to a page of one's own: says which blocks are there, picks a colour, and
 * has a recipe.
 */
import type { Page } from 'playwright-core';

export interface Walk {
  readonly taps: number;
  /** Times the screen is moved to reach what is tapped next. */
  readonly scrolls: number;
  /** From each tap until the page shows what it brings, in all. */
  readonly waitedMs: number;
  /** The recipe for the follower's own blocks, and what is said of it. */
  readonly recipe: string;
  readonly says: string;
}

/** Walks on a page that is not open yet: `owned` are names of blocks, `wanted` the title of a recipe. */
export async function followerWalk(
  page: Page,
  address: string,
  owned: readonly string[],
  wanted: string,
): Promise<Walk> {
  let taps = 0;
  let scrolls = 0;
  let waitedMs = 0;
  const tap = async (what: ReturnType<Page['locator']>, brings: () => Promise<unknown>) => {
    const box = await what.boundingBox();
    const { height } = page.viewportSize()!;
    if (box === null || box.y < 0 || box.y + box.height > height) scrolls++;
    await what.scrollIntoViewIfNeeded();
    taps++;
    const from = performance.now();
    await what.click();
    await brings();
    waitedMs += performance.now() - from;
  };
  const from = performance.now();
  await page.goto(address);
  await page.locator('#tiles .tile').first().waitFor();
  waitedMs += performance.now() - from;
  await tap(page.getByText('Your clays'), () =>
    page.getByLabel(owned[0], { exact: true }).waitFor(),
  );
  for (const [i, name] of owned.entries()) {
    const last = i === owned.length - 1;
    await tap(page.getByLabel(name, { exact: true }), async () => {
      if (last) await page.getByText(/recipes can be a match/).waitFor();
    });
  }
  await tap(page.locator('#tiles a', { hasText: wanted }).first(), () =>
    page.getByRole('heading', { name: 'With your clays' }).waitFor(),
  );
  const recipe = (await page.locator('#yours .recipe').textContent()) ?? '';
  const says = (await page.locator('#yours').textContent()) ?? '';
  return { taps, scrolls, waitedMs, recipe, says };
}

/**
 * Seconds that somebody takes for a walk: 1.35 s to think, 1.1 s to point and 0.2 s to press for each tap,
 * 2 s for each move of the screen, the waiting, and 20 s to read the page and the recipe.
 * Source:  keystroke-level model, Card, Moran and Newell 1983; the last two are guesses
 */
export function secondsOf({ taps, scrolls, waitedMs }: Walk): number {
  return taps * (1.35 + 1.1 + 0.2) + 2 * scrolls + waitedMs / 1000 + 20;
}
