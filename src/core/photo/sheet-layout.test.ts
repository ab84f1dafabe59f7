import { describe, expect, it } from 'vitest';
import { PAPERS, type SheetBox, traySheetLayout } from './sheet-layout.ts';

const overlap = (a: SheetBox, b: SheetBox) =>
  a.at[0] < b.at[0] + b.widthMm &&
  b.at[0] < a.at[0] + a.widthMm &&
  a.at[1] < b.at[1] + b.heightMm &&
  b.at[1] < a.at[1] + a.heightMm;

describe.each(PAPERS)('traySheet %s', (paper) => {
  const { markers, places, chart, printed, widthMm, heightMm } = traySheetLayout(paper);
  const boxes: SheetBox[] = [
    ...markers.map(({ at, sideMm }) => ({ at, widthMm: sideMm, heightMm: sideMm })),
    ...places.map(({ centre, sideMm }) => ({
      at: [centre[0] - sideMm / 2, centre[1] - sideMm / 2] as const,
      widthMm: sideMm,
      heightMm: sideMm,
    })),
    ...printed,
    chart!,
  ];

  it('has its size from the standard', () => {
    // ISO 216: A4 is 210 by 297 mm. US Letter: 8.5 by 11 inches of 25.4 mm.
    const [wide, tall] = paper === 'A4' ? [210, 297] : [8.5 * 25.4, 11 * 25.4];
    expect(widthMm).toBeCloseTo(wide, 9);
    expect(heightMm).toBeCloseTo(tall, 9);
  });

  it('puts nothing over another thing or into the 5 mm a printer cannot reach', () => {
    boxes.forEach((a, i) => {
      for (const b of boxes.slice(0, i)) expect(overlap(a, b)).toBe(false);
      expect(Math.min(a.at[0], a.at[1])).toBeGreaterThanOrEqual(5);
      expect(a.at[0] + a.widthMm).toBeLessThanOrEqual(widthMm - 5);
      expect(a.at[1] + a.heightMm).toBeLessThanOrEqual(heightMm - 5);
    });
  });
});
