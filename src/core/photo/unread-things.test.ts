import { describe, expect, it } from 'vitest';
import { curveTable, SRGB_TO_XYZ_D50, srgbDecoded, srgbEncoded } from './encoding.ts';
import type { FoundSheet } from './find-sheet.ts';
import { paperLight } from './paper-light.ts';
import type { Point } from './plane-view.ts';
import { traySheetLayout } from './sheet-layout.ts';
import { unreadNote, unreadThings } from './unread-things.ts';

const PX_A_MM = 2;
const layout = traySheetLayout('A4');
const [width, height] = [layout.widthMm * PX_A_MM, layout.heightMm * PX_A_MM];
const sheet: FoundSheet = {
  layout,
  view: {
    perspective: [PX_A_MM, 0, 0, 0, PX_A_MM, 0, 0, 0, 1],
    middle: [width / 2, height / 2],
    reach: height / 2,
    bend: 0,
  },
  markersSeen: 8,
  missMm: 0,
  doubts: [],
};
const curve = curveTable(255, srgbDecoded);
const colour = { curves: [curve, curve, curve] as const, toXyz: SRGB_TO_XYZ_D50 };
const paper = paperLight(
  Array.from({ length: 900 }, (_, k) => ({
    at: [(k % 30) * 7, Math.floor(k / 30) * 9.9] as const,
    light: [0.6, 0.6, 0.6] as const,
  })),
  layout,
)!;

/** A sheet with square tiles of 22 mm, each of its light. */
function thingsOn(
  tiles: readonly { readonly at: Point; readonly light: readonly number[] }[],
  read: readonly Point[] = [],
) {
  const codes = new Uint8Array(width * height * 3);
  for (let i = 0; i < width * height; i++) {
    const [x, y] = [(i % width) / PX_A_MM, Math.floor(i / width) / PX_A_MM];
    const on = tiles.find(({ at }) => Math.max(Math.abs(x - at[0]), Math.abs(y - at[1])) < 11);
    [0, 1, 2].forEach((c) => {
      codes[3 * i + c] = Math.round(255 * srgbEncoded(on?.light[c] ?? 0.6));
    });
  }
  const known = read.map(([x, y]) => ({
    centre: [x * PX_A_MM, y * PX_A_MM] as const,
    outline: [-11, 11].map((d): Point => [(x + d) * PX_A_MM, (y + d) * PX_A_MM]),
  }));
  return unreadThings({ width, height, codes }, colour, sheet, paper, undefined, undefined, known);
}

const red = [0.3, 0.05, 0.04];
const between: Point = [
  (layout.places[0].centre[0] + layout.places[1].centre[0]) / 2,
  layout.places[0].centre[1],
];

describe('what is on a sheet', () => {
  it('is nothing where only paper is seen', () => {
    expect(thingsOn([])).toEqual([]);
    expect(unreadNote([])).toBeUndefined();
  });

  it('is said where no tile was read: a tile off the crosses', () => {
    const things = thingsOn([{ at: between, light: red }]);
    expect(things).toHaveLength(1);
    expect(Math.hypot(things[0][0] - between[0], things[0][1] - between[1])).toBeLessThan(5);
    expect(unreadNote(things)).toContain('not read');
  });

  it('is not said where a tile was read', () => {
    const { centre } = layout.places[4];
    expect(thingsOn([{ at: centre, light: red }], [centre])).toEqual([]);
  });
});
