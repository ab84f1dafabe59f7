import { describe, expect, it } from 'vitest';
import { placeOfRecord, type Reading, readingSchema } from '../domain/records/reading.ts';
import { tilesFromReadings } from './tiles-from-readings.ts';

function reading(change: Partial<Reading> = {}): Reading {
  return readingSchema.parse({
    tile: '1',
    of: [{ clay: 'Kelp', parts: 1 }],
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
  { clay: 'Kelp', parts: 1 },
  { clay: 'Foam', parts: 3 },
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
    const { tiles, learnedFrom, leftAside } = tilesFromReadings([reading(), raw], 'volume');
    expect(tiles).toHaveLength(1);
    expect(learnedFrom).toEqual([reading()]);
    expect(leftAside).toMatchObject([{ tile: '2', file: 'tiles.csv', line: 3 }]);
    expect(() => tilesFromReadings([raw], 'volume')).toThrow('none is of a baked tile');
  });

  it('count once when they are repeated to the last digit, and the repeat is named', () => {
    const repeat = reading({ place: { file: 'tiles.csv', line: 9 } });
    const again = reading({ spread: 0.6, place: { file: 'tiles.csv', line: 10 } });
    const { tiles, leftAside } = tilesFromReadings([reading(), repeat, again], 'volume');
    expect(tiles).toHaveLength(2);
    expect(leftAside).toMatchObject([{ line: 9, why: expect.stringContaining('counts once') }]);
  });

  it('ask whether two spellings are one clay', () => {
    const third = reading({ tile: '2', of: [{ clay: 'Kelpp', parts: 1 }] });
    const { notes } = tilesFromReadings([reading(), reading({ tile: '3' }), third], 'volume');
    expect(notes.join()).toContain('Is "Kelpp" (in 1 reading) the same clay as "Kelp"');
  });

  it('have shares that sum to one, and one spelling a clay', () => {
    const other = reading({ of: [{ clay: ' KELP', parts: 2 }, ...mix], tile: '2' });
    const { tiles } = tilesFromReadings([reading(), other], 'volume');
    // 2 + 1 parts of Kelp and 3 of Foam: by hand.
    expect(tiles[1].parts).toEqual([
      { clay: 'Kelp', share: 0.5 },
      { clay: 'Foam', share: 0.5 },
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

  it('of one photo of a book share its error, each in a record of its own', () => {
    const { tiles } = tilesFromReadings(
      [
        reading({ photo: 'p1', place: placeOfRecord('r1') }),
        reading({ tile: '2', photo: 'p1', place: placeOfRecord('r2') }),
        reading({ photo: 'p2', place: placeOfRecord('r3') }),
        reading({ kind: 'rough', spread: 5, photo: 'p1', place: placeOfRecord('r4') }),
        reading({
          tile: '2',
          kind: 'rough',
          spread: 5,
          photo: 'p1',
          place: placeOfRecord('r5'),
        }),
      ],
      'volume',
    );
    const [one, two, other, rough, again] = tiles.map(({ photo }) => photo);
    expect(two).toBe(one);
    expect(again).toBe(rough);
    expect(new Set([one, other, rough]).size).toBe(3);
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

describe('colours that were never measured', () => {
  const rough = (change: Partial<Reading> = {}) => reading({ kind: 'rough', spread: 5, ...change });

  it('share an error with their kind and file, or with their photo, and never with measured ones', () => {
    const place = { file: 'b.csv', line: 2 };
    const { tiles } = tilesFromReadings(
      [
        rough(),
        rough({ tile: '2' }),
        reading({ kind: 'claimed', spread: 6 }),
        rough({ place }),
        rough({ photo: 'tray' }),
        rough({ tile: '2', photo: 'tray' }),
        reading({ photo: 'tray' }),
        reading(),
      ],
      'volume',
    );
    const shared = tiles.map(({ photo }) => photo);
    expect(shared[1]).toBe(shared[0]);
    expect(shared[5]).toBe(shared[4]);
    expect(new Set(shared).size).toBe(6);
    expect(shared[7]).toBe('measured in tiles.csv');
    expect(tiles[7].photoSpread).toBe(0.4);
    // Widths as docs/formats.md gives them: common practice, no source.
    expect(tiles.map(({ photoSpread }) => photoSpread)).toEqual([4, 4, 5, 4, 4, 4, undefined, 0.4]);
  });

  it('are never taken for surer than their kind can be, and that is said once a file', () => {
    const at = (line: number) => ({ file: 'tiles.csv', line });
    const { tiles, notes } = tilesFromReadings(
      [
        rough({ spread: 0.5, place: at(2) }),
        rough({ spread: 1, place: at(3) }),
        rough({ spread: 8, place: at(4) }),
        reading({ kind: 'by eye', spread: 0.1, place: at(5) }),
        reading({ kind: 'claimed', spread: 0.1, place: at(6) }),
        reading({ kind: 'borrowed', spread: 0.1, place: at(7) }),
        reading({ spread: 0.1, place: at(8) }),
      ],
      'volume',
    );
    expect(tiles.map(({ spread }) => spread)).toEqual([3, 3, 8, 3, 4, 1, 0.1]);
    expect(notes).toHaveLength(4);
    expect(notes[0]).toContain('tiles.csv, lines 2, 3: a rough colour is not known closer than 3');
    expect(notes[1]).toContain('line 5: a by eye colour');
  });

  it('are read as Lab where they are spectra, so that the shared error counts', () => {
    const { lab: _lab, ...bare } = rough({ kind: 'borrowed', spread: 1.5, spectrum: grey(0.18) });
    const [{ colour, spread }] = tilesFromReadings([bare], 'volume').tiles;
    if (colour.kind !== 'lab') throw new Error('a spectrum');
    // L of a grey: 116 * cbrt(0.18) - 16 = 49.50, CIE 15.
    expect(colour.lab[0]).toBeCloseTo(49.5, 1);
    expect([Math.hypot(colour.lab[1], colour.lab[2]) < 0.1, spread]).toEqual([true, 1.5]);
  });

  it('pass a special clay on', () => {
    const { tiles } = tilesFromReadings([reading({ effect: 'glitter' }), reading()], 'volume');
    expect(tiles.map(({ effect }) => effect)).toEqual(['glitter', undefined]);
  });
});
