import type { Predictor } from '../../core/clay/predict.ts';
import type { Prediction, Share } from './messages.ts';
import { predictHere } from './predict-mix.ts';

/** So long a predicting may hold the page up; a third of a frame at 60 a second is left for drawing it. */
const MOST_MS = 6;
/** Foretellings until the browser has made the code quick, and of which the last is timed. */
const WARMING = 12;

/**
 * Predicting on the page's own thread: a moved piece and its new colour are drawn in one frame, where a
 * worker's answer would come a frame late. Warmed up while nothing else is to do.
 * Returns: undefined where this machine takes too long over these clays; the worker then goes on
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
    // Of three clays, other ones each time.
    const three = new Set([0, 1, 2].map((i) => (turn + i * 7) % clays));
    predictHere(
      predictor,
      [...three].map((clay, i) => ({ clay, parts: i + 1 })),
    );
    // Whatever else the machine did meanwhile is not this one's slowness.
    shortest = Math.min(shortest, performance.now() - from);
  }
  return shortest > MOST_MS ? undefined : (parts) => predictHere(predictor, parts);
}
