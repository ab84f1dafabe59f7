import { type Lab, triple } from '../colour/triples.ts';

export interface PhotoReading {
  readonly lab: Lab;
  /** 3 x 3 by rows. */
  readonly covariance: ArrayLike<number>;
}

export interface CombinedReading {
  readonly lab: Lab;
  readonly covariance: Float64Array;
  readonly photos: number;
  /** Whether the photos differ by more than their ± allow. */
  readonly disagree: boolean;
}

/** 99 % of chi-squared over its degrees of freedom, for 3, 6, 9 … of them. Source: tables, [AbramowitzStegun1964] 26.8 */
const LIMITS = [3.78, 2.8, 2.41, 2.18, 2.04, 1.93];

/**
 * One reading of a tile from several photos.
 * Shape:   Lab and covariance of each -> mean weighted by how precise each is, and its covariance
 * Holds:   a single photo is returned unchanged; the error that photos of one chart share, that of
 *          the chart itself, does not shrink with more photos, so a third of the mean variance
 *          always remains
 */
export function combineReadings(readings: readonly PhotoReading[]): CombinedReading {
  const sizes = readings.map(({ covariance: c }) => (c[0] + c[4] + c[8]) / 3);
  const total = sizes.reduce((sum, v) => sum + 1 / v, 0);
  const lab: Lab = triple((r) =>
    readings.reduce((sum, { lab: l }, i) => sum + l[r] / sizes[i] / total, 0),
  );
  const n = readings.length;
  if (n === 1) {
    return {
      lab,
      covariance: Float64Array.from({ length: 9 }, (_, k) => readings[0].covariance[k]),
      photos: 1,
      disagree: false,
    };
  }
  let chi = 0;
  readings.forEach(({ lab: l }, i) => {
    for (let r = 0; r < 3; r++) chi += (l[r] - lab[r]) ** 2 / sizes[i];
  });
  const perFreedom = chi / (3 * (n - 1));
  const disagree = perFreedom > (LIMITS[n - 2] ?? 1.9);
  const wider = disagree ? perFreedom : 1;
  const covariance = new Float64Array(9);
  for (let k = 0; k < 9; k++) {
    let mean = 0;
    let weighted = 0;
    readings.forEach(({ covariance: c }, i) => {
      mean += c[k] / n;
      weighted += c[k] / (sizes[i] * total) ** 2;
    });
    covariance[k] = wider * (SHARED * mean + (1 - SHARED) * weighted);
  }
  return { lab, covariance, photos: n, disagree };
}

/**
 * Share of the variance that all photos of one chart have in common; common practice, no source.
 */
const SHARED = 1 / 3;
