import { deltaE2000 } from '../colour/difference.ts';
import { type Lab, triple } from '../colour/triples.ts';
import type { PhotoReading } from './combine-readings.ts';

export interface ControlDrift {
  /** From the mean of the earlier readings to the new one. */
  readonly dE00: number;
  readonly shift: Lab;
  /** Number of earlier readings it is compared with. */
  readonly earlier: number;
  /** How often a step this large would come by chance, 0-1, if nothing had changed. */
  readonly chance: number;
  readonly drifted: boolean;
}

/** Counts as a change when chance alone would bring it once in a hundred. */
const LEAST_CHANCE = 0.01;

/**
 * Whether a control tile still reads the same as before.
 * Shape:   earlier readings (at least one), the new one -> step, and how likely chance alone makes
 *          it
 * Holds:   the scatter of the earlier readings counts beside their ±, whichever is larger
 * Source:  chi-squared of three degrees, exact tail
 */
export function controlDrift(earlier: readonly PhotoReading[], now: PhotoReading): ControlDrift {
  const n = earlier.length;
  const mean = triple((r) => earlier.reduce((sum, e) => sum + e.lab[r] / n, 0));
  const stated = earlier.reduce((sum, e) => sum + trace(e) / n, 0);
  const scatter =
    n < 3
      ? 0
      : earlier.reduce(
          (sum, e) => sum + [0, 1, 2].reduce((s, r) => s + (e.lab[r] - mean[r]) ** 2, 0) / (n - 1),
          0,
        );
  const variance = (Math.max(stated, scatter) / n + Math.max(trace(now), scatter)) / 3;
  const shift = triple((r) => now.lab[r] - mean[r]);
  const chi = (shift[0] ** 2 + shift[1] ** 2 + shift[2] ** 2) / variance;
  const chance = tailOfThree(chi);
  return {
    dE00: deltaE2000(mean, now.lab),
    shift,
    earlier: n,
    chance,
    drifted: chance < LEAST_CHANCE,
  };
}

function trace({ covariance }: PhotoReading): number {
  return covariance[0] + covariance[4] + covariance[8];
}

/** Chance that a chi-squared variable of three degrees exceeds x: erfc(sqrt(x/2)) + sqrt(2x/pi) e^(-x/2). */
export function tailOfThree(x: number): number {
  return erfc(Math.sqrt(x / 2)) + Math.sqrt((2 * x) / Math.PI) * Math.exp(-x / 2);
}

/** Source: [AbramowitzStegun1964] 7.1.26, within 1.5e-7 */
function erfc(x: number): number {
  const t = 1 / (1 + 0.3275911 * x);
  const poly =
    t *
    (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  return poly * Math.exp(-x * x);
}
