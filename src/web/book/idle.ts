import { queries } from './queries.ts';

/** How long the page loads nothing after its first screen before that screen is past, ms. */
const REST_MS = 2500;
/** A page that never rests, as a clay model is computing, is past its first screen after this, ms. */
const LONGEST_MS = 15_000;
const LOOK_MS = 250;

/** Resolves when the page is idle. */
export function idle(): Promise<void> {
  return new Promise((resolve) => {
    if (globalThis.requestIdleCallback === undefined) setTimeout(resolve, 50);
    else requestIdleCallback(() => resolve());
  });
}

let line: Promise<void> | undefined;

/**
 * Resolves when the first screen is past and the page is idle: what loads then keeps nobody waiting. One
 * after the other, so that a press never waits for more than one of them.
 */
export function idleLater(): Promise<void> {
  line = (line ?? firstScreenPast()).then(idle);
  return line;
}

/** A slow device loads its first screen for many seconds: the time since its last answer counts. */
async function firstScreenPast(): Promise<void> {
  for (let rested = 0, past = 0; rested < REST_MS && past < LONGEST_MS; past += LOOK_MS) {
    await new Promise((resolve) => setTimeout(resolve, LOOK_MS));
    rested = queries.isFetching() === 0 ? rested + LOOK_MS : 0;
  }
}
