import { describe, expect, it } from 'vitest';
import { type Reading, readingSchema } from '../contract/reading.ts';
import { tilesFromReadings } from './tiles-from-readings.ts';

function reading(change: Partial<Reading> = {}): Reading {
  return readingSchema.parse({
    tile: '1',
    of: [{ parent: 'Kelp', parts: 1 }],
    kind: 'measured',
    basis: 'volume',
    state: 'baked',
    lab: { values: [50, 0, 0], light: 'D50', observer: 2 },
    spread: 0.5,
    geometry: 'excluded',
    partsSpread: 0,
    place: { file: 'tiles.csv', line: 2 },
    ...change,
  });
}
const mix = [
  { parent: 'Kelp', parts: 1 },
  { parent: 'Foam', parts: 3 },
];
const nm = Array.from({ length: 31 }, (_, i) => 400 + 10 * i);
/** The same reflectance everywhere: a grey, whose Lab is known from the formula alone. */
const grey = (reflectance: number, wavelengthsNm = nm) => ({
  wavelengthsNm,
  reflectance: wavelengthsNm.map(() => reflectance),
});

describe('readings for the fit', () => {
  it('of raw tiles are left aside, with the reason and the row', () => {
    const raw = reading({ tile: '2', state: 'raw', place: { file: 'tiles.csv', line: 3 } });
    const { tiles, learntFrom, leftAside } = tilesFromReadings([reading(), raw], 'volume');
    expect(tiles).toHaveLength(1);
    expect(learntFrom).toEqual([reading()]);
    expect(leftAside).toMatchObject([{ tile: '2', file: 'tiles.csv', line: 3 }]);
    expect(() => tilesFromReadings([raw], 'volume')).toThrow('none is of a baked tile');
  });

  it('have shares that sum to one, and one spelling a parent', () => {
    const other = reading({ of: [{ parent: ' KELP', parts: 2 }, ...mix], tile: '2' });
    const { tiles } = tilesFromReadings([reading(), other], 'volume');
    // 2 + 1 parts of Kelp and 3 of Foam: by hand.
    expect(tiles[1].parts).toEqual([
      { parent: 'Kelp', share: 0.5 },
      { parent: 'Foam', share: 0.5 },
    ]);
  });

  it('are of one basis; a clay alone is of either', () => {
    const byWeight = reading({ of: mix, basis: 'weight', place: { file: 'b.csv', line: 7 } });
    expect(tilesFromReadings([reading(), byWeight], 'volume').basis).toBe('weight');
    expect(tilesFromReadings([reading()], 'weight').basis).toBe('weight');
    const both = [reading({ of: mix }), reading(), byWeight];
    expect(() => tilesFromReadings(both, 'volume')).toThrow(
      'by volume in tiles.csv, line 2 and by weight in b.csv, line 7',
    );
  });

  it('take the spectrum before the Lab, and say when the two disagree', () => {
    // L of a grey: 116 * cbrt(Y) - 16, CIE 15; Y = 0.18 gives 49.50.
    const agreeing = reading({ spectrum: grey(0.18) });
    const { lab: _lab, ...alone } = agreeing;
    for (const one of [
      { ...agreeing, lab: { ...agreeing.lab!, values: [49.5, 0, 0] as const } },
      alone,
    ]) {
      const { tiles, notes } = tilesFromReadings([one], 'volume');
      expect(tiles[0].colour.kind).toBe('spectrum');
      expect(notes).toEqual([]);
    }
    const far = reading({ spectrum: grey(0.3) });
    const { notes } = tilesFromReadings([far], 'volume');
    // 61.65 against 50: 11.6 units of L, about 11 dE00 at this lightness.
    expect(notes).toEqual([expect.stringMatching(/tiles\.csv, line 2.*are 1[01]\.\d apart/)]);
  });

  it('fall back on the Lab where the spectrum is too short to show a colour', () => {
    const short = grey(0.2, nm.slice(0, 12));
    const { tiles, notes } = tilesFromReadings(
      [reading({ spectrum: short, spread: 0.2 })],
      'volume',
    );
    expect(tiles[0].colour.kind).toBe('lab');
    expect(tiles[0].spread).toBe(0.5);
    expect(notes[0]).toContain('L, a, b are used instead');
    const { lab: _lab, ...alone } = reading({ spectrum: short });
    expect(() => tilesFromReadings([alone], 'volume')).toThrow(
      /tiles\.csv, line 2, tile "1".*510 nm/,
    );
  });

  it('tell tiles and photos of two files apart, but one mix of one name is one tile', () => {
    const place = { file: 'b.csv', line: 2 };
    const { tiles } = tilesFromReadings(
      [reading({ photo: 'tray' }), reading({ of: mix, photo: 'tray', place })],
      'volume',
    );
    expect(tiles.map(({ tile }) => tile)).toEqual(['1 (tiles.csv)', '1 (b.csv)']);
    expect(tiles[0].photo).not.toBe(tiles[1].photo);
    const again = tilesFromReadings([reading(), reading({ place })], 'volume');
    expect(again.tiles.map(({ tile }) => tile)).toEqual(['1', '1']);
  });

  it('keep thickness and backing of a film', () => {
    const { tiles } = tilesFromReadings(
      [reading({ thicknessMm: 1.5 }), reading({ tile: '2', thicknessMm: 1, backing: 0.02 })],
      'volume',
    );
    // White where nothing is said: 0.80, ASTM D2805.
    expect(tiles.map(({ film }) => film)).toEqual([
      { thicknessMm: 1.5, backing: 0.8 },
      { thicknessMm: 1, backing: 0.02 },
    ]);
  });
});
