import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from '../../../test/conformance/uniform.ts';
import { sheetRows } from './sheet-rows.ts';

const frame = fc.record({
  count: fc.integer({ min: 1, max: 300_000 }),
  widthPx: between(150, 2560),
  heightPx: between(200, 1400),
  cellPx: fc.constantFrom(96, 132, 160),
  captionPx: between(20, 90),
});

describe('a sheet laid out in rows', () => {
  it('stands at the row it was scrolled to, whole pixels or not', () => {
    fc.assert(
      fc.property(frame, between(0, 1), (of, share) => {
        const rows = sheetRows(of);
        const index = Math.floor(share * (of.count - 1));
        const first = index - (index % rows.columns);
        const to = rows.scrollTo(index);
        for (const scroll of [to, Math.round(to), Math.round(to * 4) / 4]) {
          expect(rows.firstAt(scroll)).toBe(first);
        }
      }),
    );
  });

  it('draws all that is in sight, and never much more', () => {
    fc.assert(
      fc.property(frame, between(0, 1), (of, share) => {
        const rows = sheetRows(of);
        const scroll = share * Math.max(0, rows.drawnPx - of.heightPx);
        const { from, to } = rows.drawnAt(scroll);
        const top = rows.topAt(scroll);
        const rowTop = (index: number) => Math.floor(index / rows.columns) * rows.rowPx;
        expect(rowTop(from)).toBeLessThanOrEqual(top);
        if (to < of.count) expect(rowTop(to)).toBeGreaterThanOrEqual(top + of.heightPx);
        expect(to - from).toBeLessThanOrEqual(
          (Math.ceil(of.heightPx / rows.rowPx) + 5) * rows.columns,
        );
      }),
    );
  });

  it('ends with its last row at the foot of the frame, however tall it is', () => {
    fc.assert(
      fc.property(frame, (of) => {
        const rows = sheetRows(of);
        const scroll = Math.max(0, rows.drawnPx - of.heightPx);
        expect(rows.topAt(scroll) + of.heightPx).toBeCloseTo(
          Math.max(rows.wholePx, of.heightPx),
          3,
        );
      }),
    );
  });
});
