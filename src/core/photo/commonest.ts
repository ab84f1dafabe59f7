export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1];
}

/**
 * Where values are densest: the shortest half, found again and again.
 * Source:  [RobertsonCryer1974], half-sample mode
 */
export function commonest(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  let from = 0;
  let to = sorted.length;
  while (to - from > 8) {
    const half = (to - from + 1) >> 1;
    let best = from;
    for (let at = from; at + half <= to; at++) {
      if (sorted[at + half - 1] - sorted[at] < sorted[best + half - 1] - sorted[best]) best = at;
    }
    from = best;
    to = best + half;
  }
  return sorted[(from + to) >> 1];
}
