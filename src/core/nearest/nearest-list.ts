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
  const listed: NearColour[] = [];
  let limit = within * within + SLACK;
  return {
    /** Squared difference above which nothing is listed. */
    limit: () => limit,
    nearerThan(squared: number): void {
      limit = Math.min(limit, squared);
    },
    offer(index: number, dE00: number): void {
      if (!(dE00 <= within)) return;
      let at = listed.length;
      while (at > 0 && isNearer(dE00, index, listed[at - 1])) at--;
      if (at === top) return;
      listed.splice(at, 0, { index, dE00 });
      if (listed.length > top) listed.pop();
      if (listed.length === top) limit = Math.min(limit, listed[top - 1].dE00 ** 2 + SLACK);
    },
    sorted: () => listed,
  };
}

function isNearer(dE00: number, index: number, than: NearColour): boolean {
  return dE00 < than.dE00 || (dE00 === than.dE00 && index < than.index);
}
