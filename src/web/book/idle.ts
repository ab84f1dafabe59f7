/** How long after it was opened a page may be busy with its first screen, ms. */
const FIRST_SCREEN_MS = 6000;

/** Resolves when the page is idle. */
export function idle(): Promise<void> {
  return new Promise((resolve) => {
    if (globalThis.requestIdleCallback === undefined) setTimeout(resolve, 50);
    else requestIdleCallback(() => resolve());
  });
}

/** Resolves when the first screen is past and the page is idle: what loads then keeps nobody waiting. */
export async function idleLater(): Promise<void> {
  const left = FIRST_SCREEN_MS - performance.now();
  if (left > 0) await new Promise((resolve) => setTimeout(resolve, left));
  await idle();
}
