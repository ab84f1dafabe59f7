import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { curveTable, SRGB_TO_XYZ_D50, srgbDecoded, srgbEncoded } from './encoding.ts';
import { lightBesideSheet, lightOfBareTable } from './light-without-chart.ts';
import type { Picture } from './picture.ts';
import type { PlaneView, Point } from './plane-view.ts';
import { traySheetLayout } from './sheet-layout.ts';
import { paperOf } from './sheet-paper.ts';

const curve = curveTable(255, srgbDecoded);
const colour = { curves: [curve, curve, curve] as const, toXyz: SRGB_TO_XYZ_D50 };
const [WIDTH, HEIGHT] = [450, 330];

/** A grey picture with a little noise, by the linear light of each pixel. */
function pictureOf(light: (x: number, y: number) => number): Picture {
  const random = randomFrom(5);
  const codes = new Uint8Array(WIDTH * HEIGHT * 3);
  for (let i = 0; i < WIDTH * HEIGHT; i++) {
    const v = light(i % WIDTH, Math.floor(i / WIDTH)) * (1 + 0.01 * random.normal());
    codes.fill(Math.round(255 * srgbEncoded(v)), 3 * i, 3 * i + 3);
  }
  return { width: WIDTH, height: HEIGHT, codes };
}

describe('the light over a table without sheet and chart', () => {
  it('is followed where it falls off to one side, and more is unsure beyond a shadow', () => {
    const light = (x: number) => 0.3 * Math.exp(-0.5 * (x / WIDTH - 0.5));
    const found = lightOfBareTable(pictureOf(light), colour, [])!;
    const [left, right]: Point[] = [
      [45, 150],
      [405, 150],
    ];
    expect(found.between(right, left).log).toBeCloseTo(-0.4, 1);
    expect(found.shadow.chance).toBeLessThan(0.5);
  });

  it('counts from what is lit where a shadow covers the middle', () => {
    const light = (x: number) => 0.3 * (1 - 0.4 / (1 + Math.exp((x - 325) / 12)));
    const found = lightOfBareTable(pictureOf(light), colour, [])!;
    expect(found.shadow.chance).toBeGreaterThan(0.9);
    expect(Math.abs(found.at([410, 165]).log)).toBeLessThan(0.05);
    expect(Math.abs(found.at([100, 165]).log - Math.log(0.6))).toBeLessThan(0.06);
  });
});

describe('the light beside a sheet', () => {
  const layout = traySheetLayout('A4');
  const view: PlaneView = {
    perspective: [1, 0, 15, 0, 1, 15, 0, 0, 1],
    middle: [0, 0],
    reach: 1,
    bend: 0,
  };
  const sheet = { layout, view, markersSeen: 8, missMm: 0, doubts: [] };
  const tile = { centre: [410, 165] as const, outline: [[415, 165] as const] };
  const onSheet = (x: number, y: number) => x > 15 && x < 225 && y > 15 && y < 312;

  it('is read from the table in a shadow that falls only there', () => {
    const picture = pictureOf((x, y) => {
      const left = 1 - 0.4 / (1 + Math.exp(-(x - 325) / 10));
      return (onSheet(x, y) ? 0.8 : 0.3) * left;
    });
    const paper = paperOf(picture, colour, sheet)!;
    const found = lightBesideSheet(picture, colour, sheet, paper, undefined, [tile])!;
    expect(Math.abs(found.at([410, 165]).log - Math.log(0.6))).toBeLessThan(0.06);
    expect(Math.abs(found.at([260, 165]).log)).toBeLessThan(0.04);
  });
});
