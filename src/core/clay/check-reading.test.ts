import { describe, expect, it } from 'vitest';
import { BANDS } from '../colour/grid.ts';
import { AppError } from '../errors.ts';
import { checkReading } from './check-reading.ts';
import type { TileReading } from './tile-reading.ts';

const SOUND: TileReading = {
  tile: 'T1',
  parts: [
    { clay: 'Kelp', share: 0.25 },
    { clay: 'Foam', share: 0.75 },
  ],
  colour: { kind: 'lab', lab: [60, -20, 12], light: 'D50', observer: 2 },
  spread: 0.5,
  geometry: 'included',
  partsSpread: 0.03,
};

function spectrum(measured: number, value = 0.4): TileReading['colour'] {
  const observed = new Uint8Array(BANDS).fill(1, 0, measured);
  return { kind: 'spectrum', values: new Float64Array(BANDS).fill(value), observed };
}

describe('a reading', () => {
  it.each<[string, Partial<TileReading>]>([
    ['without a mistake', {}],
    ['of a few bands', { colour: spectrum(1) }],
    [
      'with unmeasured bands that are not numbers',
      {
        colour: {
          kind: 'spectrum',
          values: new Float64Array(BANDS).fill(Number.NaN).fill(0.3, 0, 5),
          observed: new Uint8Array(BANDS).fill(1, 0, 5),
        },
      },
    ],
    ['of a film', { film: { thicknessMm: 0.2, backing: 0.8 } }],
    ['of a film on black and on perfect white', { film: { thicknessMm: 3, backing: 1 } }],
    ['cut without error', { partsSpread: 0 }],
  ])('passes %s', (_, more) => {
    expect(() => checkReading({ ...SOUND, ...more })).not.toThrow();
  });

  it.each<[string, Partial<TileReading>]>([
    ['without parts', { parts: [] }],
    ['with a share that is not a number', { parts: [{ clay: 'Kelp', share: Number.NaN }] }],
    ['without a colour', { colour: { ...SOUND.colour, lab: [Number.NaN, 0, 0] } as never }],
    ['of no band', { colour: spectrum(0) }],
    ['with a band without a number', { colour: spectrum(4, Number.POSITIVE_INFINITY) }],
    [
      'of another grid',
      { colour: { kind: 'spectrum', values: new Float64Array(31), observed: new Uint8Array(31) } },
    ],
    // The fit would follow it to the letter, and every other tile would seem wrong.
    ['known without error', { spread: 0 }],
    // It was squared on the way, so the sign was lost without an error.
    ['of a negative spread', { spread: -0.5 }],
    ['of a spread without end', { spread: Number.POSITIVE_INFINITY }],
    ['cut with a negative error', { partsSpread: -0.03 }],
    ['of a photo with an unknown spread', { photo: 'tray 3', photoSpread: Number.NaN }],
    ['of a film of no thickness', { film: { thicknessMm: 0, backing: 0.5 } }],
    ['of a film without end', { film: { thicknessMm: Number.POSITIVE_INFINITY, backing: 0.5 } }],
    ['on a backing brighter than light', { film: { thicknessMm: 1, backing: 1.2 } }],
    ['on a backing without a number', { film: { thicknessMm: 1, backing: Number.NaN } }],
  ])('refuses one %s, naming the tile', (_, more) => {
    const check = () => checkReading({ ...SOUND, ...more });
    expect(check).toThrow(AppError);
    expect(check).toThrow(/[Tt]ile T1/);
  });
});
