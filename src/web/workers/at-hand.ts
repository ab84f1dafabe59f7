import type { Predictor } from '../../core/clay/predict.ts';
import type { Prediction, Share } from './messages.ts';
import { predictHere } from './predict-mix.ts';

/** Longest prediction on the page's own thread: the rest of a frame at 60 per second is for drawing. */
const MOST_MS = 6;
/** Predictions until the browser has optimised the code; the fastest is timed. */
const WARMING = 12;

/**
 * Prediction on the page's own thread, so that a moved piece and its new colour are drawn in one frame. It
 * warms up while the page is idle.
 * Returns: undefined if this machine is too slow for these clays; the worker then predicts
 */
export async function atHand(
  predictor: Predictor,
  idle: () => Promise<void>,
): Promise<((parts: readonly Share[]) => Prediction) | undefined> {
  const clays = predictor.model.clays.length;
  let shortest = Number.POSITIVE_INFINITY;
  for (let turn = 0; turn < WARMING; turn++) {
    await idle();
    const from = performance.now();
    // Three other clays each time.
    const three = new Set([0, 1, 2].map((i) => (turn + i * 7) % clays));
    predictHere(
      predictor,
      [...three].map((clay, i) => ({ clay, parts: i + 1 })),
    );
    // The shortest time, as other work on the machine may have slowed the rest.
    shortest = Math.min(shortest, performance.now() - from);
  }
  return shortest > MOST_MS ? undefined : (parts) => predictHere(predictor, parts);
}
