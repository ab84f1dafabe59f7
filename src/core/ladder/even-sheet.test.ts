import { describe, expect, it } from 'vitest';
import { demoClay } from '../../../test/conformance/demo-clay.ts';
import { deltaE2000 } from '../colour/difference.ts';
import { HOUSE_VIEWING } from '../colour/house-viewing.ts';
import type { Lab } from '../colour/triples.ts';
import { predictViewed } from '../find/predicted-mix.ts';
import { evenSheetCut } from './even-sheet.ts';

const LENGTH = 150;

/** What a sheet looks like across, folded from a slab that was cut straight from place to place. */
function blended(
  colourAt: (share: number) => Lab,
  firstMm: readonly number[],
  points: number,
): Lab[] {
  return Array.from({ length: points + 1 }, (_, i) => {
    const across = (i / points) * (firstMm.length - 1);
    const at = Math.min(firstMm.length - 2, Math.floor(across));
    const first = firstMm[at] + (across - at) * (firstMm[at + 1] - firstMm[at]);
    return colourAt(1 - first / LENGTH);
  });
}

/** Length of the way along some colours up to each of them, as parts of the whole. */
function reached(labs: readonly Lab[]): number[] {
  const sums = [0];
  labs.slice(1).forEach((lab, i) => {
    sums.push(sums[i] + deltaE2000(labs[i], lab));
  });
  return sums.map((v) => v / sums[sums.length - 1]);
}

describe('evenSheetCut', () => {
  it('cuts a straight line where equal shares look equal', () => {
    const { firstMm, off } = evenSheetCut((share) => [80 - 30 * share, 0, 0], LENGTH);
    expect(firstMm[0]).toBe(LENGTH);
    expect(firstMm.at(-1)).toBe(0);
    expect(off).toBeLessThan(1);
  });

  it.each([
    ['Foam', 'Mussel'],
    ['Foam', 'Kelp'],
    ['Kelp', 'Limpet'],
    ['Mussel', 'Limpet'],
    ['Kelp', 'Foam'],
  ])('is even within 2 dE00 from %s to %s', async (from, to) => {
    const { predictor, names } = await demoClay();
    const index = (name: string) => names.indexOf(name);
    const colourAt = (share: number): Lab =>
      predictViewed(
        predictor,
        [
          { clay: index(from), share: 1 - share },
          { clay: index(to), share },
        ].filter((one) => one.share > 0),
        HOUSE_VIEWING,
      ).lab;
    const { firstMm, off } = evenSheetCut(colourAt, LENGTH);
    // The way is measured here in other steps than there: 2000, smallest at both ends.
    const path = Array.from({ length: 2001 }, (_, i) =>
      colourAt(Math.sin((Math.PI * i) / 4000) ** 2),
    );
    const along = reached(path);
    blended(colourAt, firstMm, 200).forEach((lab, i) => {
      const even = path[along.findIndex((v) => v >= i / 200 - 1e-12)];
      expect(deltaE2000(lab, even)).toBeLessThan(2);
    });
    expect(off).toBeLessThan(2);
  });
});
