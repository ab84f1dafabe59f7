export interface NearColour {
  /** Which colour of the book. */
  readonly index: number;
  readonly dE00: number;
}

/**
 * Floors err by rounding. This is far more than that error and far less than a visible difference.
 * Squared CIEDE2000.
 */
const SLACK = 1e-9;

/** The closest so far, by distance and then by index. */
export function nearestList(top: number, within: number) {
  const kept: NearColour[] = [];
  let limit = within * within + SLACK;
  return {
    /** Squared difference above which nothing is listed. */
    limit: () => limit,
    nearerThan(squared: number): void {
      limit = Math.min(limit, squared);
    },
    offer(index: number, dE00: number): void {
      if (!(dE00 <= within)) return;
      let at = kept.length;
      while (at > 0 && isNearer(dE00, index, kept[at - 1])) at--;
      if (at === top) return;
      kept.splice(at, 0, { index, dE00 });
      if (kept.length > top) kept.pop();
      if (kept.length === top) limit = Math.min(limit, kept[top - 1].dE00 ** 2 + SLACK);
    },
    sorted: () => kept,
  };
}

function isNearer(dE00: number, index: number, than: NearColour): boolean {
  return dE00 < than.dE00 || (dE00 === than.dE00 && index < than.index);
}
