import { describe, expect, it } from 'vitest';
import { type Reading, readingSchema } from './reading.ts';

const reading: Reading = {
  tile: 'Limpet 1',
  of: [{ clay: 'Kelp', parts: 1 }],
  kind: 'measured',
  basis: 'volume',
  state: 'baked',
  lab: { values: [45.2, -20, 18.5], light: 'D50', observer: 2 },
  spread: 0.5,
  geometry: 'excluded',
  partsSpread: 0,
  place: { file: 'tiles.csv', line: 2 },
};
const mix = [...reading.of, { clay: 'Foam', parts: 3 }];
const spectrum = { wavelengthsNm: [400, 410], reflectance: [0.1, 0.2] };

describe('the shape of a reading', () => {
  it('lets good readings through unchanged', () => {
    const { lab: _lab, ...bare } = reading;
    for (const good of [
      reading,
      { ...reading, spectrum, thicknessMm: 3, backing: 0.8, photo: 'tray 2' },
      { ...bare, spectrum },
      { ...reading, kind: 'rough', effect: 'pearl' },
    ]) {
      expect(readingSchema.parse(JSON.parse(JSON.stringify(good)))).toEqual(good);
    }
  });

  it.each<[string, Record<string, unknown>]>([
    ['neither Lab nor spectrum', { lab: undefined }],
    ['an empty tile name', { tile: '' }],
    ['an empty recipe', { of: [] }],
    ['parts of zero', { of: [{ clay: 'Kelp', parts: 0 }] }],
    ['L above the scale', { lab: { ...reading.lab, values: [150, 0, 0] } }],
    ['a NaN', { lab: { ...reading.lab, values: [50, Number.NaN, 0] } }],
    ['an unknown light', { lab: { ...reading.lab, light: 'moon' } }],
    ['per cent for a share', { spectrum: { ...spectrum, reflectance: [10, 20] } }],
    ['lengths that differ', { spectrum: { ...spectrum, reflectance: [0.1] } }],
    ['wavelengths that fall', { spectrum: { ...spectrum, wavelengthsNm: [410, 400] } }],
    ['a spread of 0', { spread: 0 }],
    ['a backing without a thickness', { backing: 0.8 }],
    ['a kind nobody knows', { kind: 'guessed' }],
    ['an effect of a mix', { of: mix, effect: 'pearl' }],
    ['a key nobody knows', { colour: 'green' }],
    ['a line of 0', { place: { file: 'tiles.csv', line: 0 } }],
  ])('refuses %s', (_name, change) => {
    expect(readingSchema.safeParse({ ...reading, ...change }).success).toBe(false);
  });
});
