import { describe, expect, it } from 'vitest';
import { demoClay } from '../../../test/conformance/demo-clay.ts';
import { deltaE2000 } from '../colour/difference.ts';
import { HOUSE_VIEWING } from '../colour/house-viewing.ts';
import type { Lab } from '../colour/triples.ts';
import { predictViewed } from '../find/predicted-mix.ts';
import { type CutPoint, evenSheetCut } from './even-sheet.ts';

const SIDE = 150;

/** What a sheet looks like across, folded from a slab that was cut straight from point to point. */
function blended(
  colourAt: (share: number) => Lab,
  cut: readonly CutPoint[],
  points: number,
): Lab[] {
  return Array.from({ length: points + 1 }, (_, i) => {
    const across = (SIDE * i) / points;
    const at = Math.max(
      1,
      cut.findIndex(({ acrossMm }) => acrossMm >= across),
    );
    const [from, to] = [cut[at - 1], cut[at]];
    const part = (across - from.acrossMm) / (to.acrossMm - from.acrossMm);
    return colourAt(1 - (from.firstMm + part * (to.firstMm - from.firstMm)) / SIDE);
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
    const { cut, off } = evenSheetCut((share) => [80 - 30 * share, 0, 0], SIDE);
    expect(cut[0]).toEqual({ acrossMm: 0, firstMm: SIDE });
    expect(cut.at(-1)).toEqual({ acrossMm: SIDE, firstMm: 0 });
    for (const { acrossMm, firstMm } of cut) {
      expect(Math.abs(acrossMm + firstMm - SIDE)).toBeLessThan(0.1 * SIDE);
    }
    expect(off).toBeLessThan(1.3);
  });

  it.each([40, 80, 120])(
    'finds room beside a colour so strong that a share of 1 in %i changes most',
    (k) => {
      const { cut, off } = evenSheetCut(
        (share) => [90 - 60 * (1 - Math.exp(-k * share)), 0, 0],
        SIDE,
      );
      expect(off).toBeLessThan(1.3);
      for (const { firstMm } of cut) expect(Number.isInteger(2 * firstMm)).toBe(true);
    },
  );

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
    const { cut, off } = evenSheetCut(colourAt, SIDE);
    // The way is measured here in other steps than there: 1000, smallest at both ends.
    const path = Array.from({ length: 1001 }, (_, i) =>
      colourAt(Math.sin((Math.PI * i) / 2000) ** 2),
    );
    const along = reached(path);
    blended(colourAt, cut, 150).forEach((lab, i) => {
      const even = path[along.findIndex((v) => v >= i / 150 - 1e-12)];
      expect(deltaE2000(lab, even)).toBeLessThan(2);
    });
    expect(off).toBeLessThan(2);
    // As a ruler measures.
    for (const { acrossMm, firstMm } of cut) {
      expect(Number.isInteger(2 * acrossMm) && Number.isInteger(2 * firstMm)).toBe(true);
    }
  });
});
