import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { AppError } from '../core/errors.ts';
import { formatRecipe } from '../core/notation/notation.ts';
import { readingSchema } from '../domain/records/reading.ts';
import { readReadingsCgats } from './cgats.ts';
import { readReadings } from './readings.ts';

const read = (text: string) => readReadingsCgats(new TextEncoder().encode(text), 'tiles.txt');
const readings = (text: string) => read(text).readings;
const oracle = (name: string) =>
  readFileSync(new URL(`../../test/oracles/formats/${name}`, import.meta.url));

function errorOf(text: string): AppError {
  try {
    read(text);
  } catch (error) {
    if (error instanceof AppError) return error;
    throw error;
  }
  throw new Error('the file was read');
}

interface Parts {
  first?: string;
  keywords?: string;
  fields?: string;
  sets?: string;
}

/** Layout of CGATS.17 and ISO 28178, written from memory. */
function file({ first = 'CGATS.17', keywords = '', fields, sets }: Parts): string {
  return [
    first,
    keywords,
    'BEGIN_DATA_FORMAT',
    fields ?? 'SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B',
    'END_DATA_FORMAT',
    'BEGIN_DATA',
    sets ?? '1 "5 Kelp + 2 Foam" 45.2 -20 18.5',
    'END_DATA',
    '',
  ].join('\n');
}

const nm = Array.from({ length: 31 }, (_, i) => 400 + 10 * i);
const spectral = (head: (n: number) => string, value: string, keywords = '') =>
  file({
    keywords,
    fields: `SAMPLE_ID SAMPLE_NAME ${nm.map(head).join(' ')}`,
    sets: `1 Kelp ${nm.map(() => value).join(' ')}`,
  });

describe('a file written by an independent program', () => {
  // spec2cie of Argyll CMS 2.3.1 wrote the CGATS; the CSV holds the same measurements to 7 digits.
  const cgats = readReadings(oracle('tints-spectral-lab.ti3'), 'tints.ti3');
  const csv = readReadings(oracle('tints.csv'), 'tints.csv');
  /** The program writes per cent with 6 significant digits. */
  const PRINTED = 6e-7;
  /** It integrates by other weights than ASTM E308. */
  const LAB = 0.03;

  it('gives the measured spectra, wavelengths and Lab', () => {
    expect(cgats.readings).toHaveLength(4);
    cgats.readings.forEach((reading, i) => {
      const same = csv.readings[i];
      expect(formatRecipe(reading.of)).toBe(formatRecipe(same.of));
      expect(reading.spectrum?.wavelengthsNm).toEqual(same.spectrum?.wavelengthsNm);
      reading.spectrum?.reflectance.forEach((value, k) => {
        expect(Math.abs(value - (same.spectrum?.reflectance[k] ?? Number.NaN))).toBeLessThan(
          PRINTED,
        );
      });
      reading.lab?.values.forEach((value, k) => {
        expect(Math.abs(value - (same.lab?.values[k] ?? Number.NaN))).toBeLessThan(LAB);
      });
      readingSchema.parse(reading);
    });
  });

  it('says what was assumed', () => {
    expect(cgats.notes).toEqual([
      'tints.ti3: there is no MEASUREMENT_GEOMETRY, so the geometry is read as 45:0 (gloss excluded).',
    ]);
    expect(cgats.readings[0].geometry).toBe('excluded');
  });
});

describe('a CGATS text', () => {
  it('names tile and recipe by the fields there are', () => {
    const tiles = (fields: string, sets: string) =>
      readings(file({ fields: `${fields} LAB_L LAB_A LAB_B`, sets: `${sets} 45 0 0` })).map((r) => [
        r.tile,
        formatRecipe(r.of),
      ]);
    expect(tiles('SAMPLE_ID SAMPLE_NAME', '7 "2 Kelp + Foam"')).toEqual([['7', '2 Kelp + 1 Foam']]);
    expect(tiles('SAMPLE_NAME', 'Kelp')).toEqual([['Kelp', 'Kelp']]);
    expect(tiles('SAMPLE_ID SAMPLE_NAME OF', '7 Limpet "2 Kelp"')).toEqual([['Limpet', '2 Kelp']]);
    expect(tiles('SAMPLE_ID RECIPE', '7 "2 Kelp"')).toEqual([['7', '2 Kelp']]);
    expect(tiles('TILE SAMPLE_ID SAMPLE_NAME', 'Limpet 7 Kelp')).toEqual([['Limpet', 'Kelp']]);
  });

  it.each<[string, string]>([
    ['ILLUMINANT "D65"\nOBSERVER_ANGLE "10"', 'D65 10'],
    ['ILLUMINATION_NAME "F11"', 'FL11 2'],
    ['WEIGHTING_FUNCTION "ILLUMINANT, D65"\nWEIGHTING_FUNCTION "OBSERVER, 10 degree"', 'D65 10'],
    ['MEASUREMENT_SOURCE "Illumination=D65 ObserverAngle=10 WhiteBase=Abs Filter=no"', 'D65 10'],
    ['', 'D50 2'],
  ])('reads light and observer from %j', (keywords, expected) => {
    const [{ lab }] = readings(file({ keywords }));
    expect(`${lab?.light} ${lab?.observer}`).toBe(expected);
  });

  it.each([
    ['MEASUREMENT_GEOMETRY "45/0"', 'excluded'],
    ['MEASUREMENT_GEOMETRY "0/45 ring, no filter"', 'excluded'],
    ['MEASUREMENT_GEOMETRY "di:8"', 'included'],
    ['GEOMETRY "SPIN"', 'included'],
  ])('reads the geometry from %j', (keywords, expected) => {
    const {
      readings: [reading],
      notes,
    } = read(file({ keywords }));
    expect(reading.geometry).toBe(expected);
    expect(notes).toEqual([]);
  });

  it('reads our own words as keywords and as fields', () => {
    const [reading] = readings(
      file({
        keywords:
          'BASIS "weight"\nTHICKNESS_MM 3\nSAMPLE_BACKING "black"\nPARTS_SPREAD 0.1\nSTATE raw\nKIND "by-eye"\nEFFECT pearl',
        fields: 'SAMPLE_NAME LAB_L LAB_A LAB_B STATE SPREAD CMYK_C',
        sets: '"5 Kelp + Foam" 45 0 0 baked 0.7 33',
      }),
    );
    expect(reading).toMatchObject({
      basis: 'weight',
      thicknessMm: 3,
      backing: 0.02,
      partsSpread: 0.1,
      state: 'baked',
      kind: 'by eye',
      spread: 0.7,
    });
    expect(readings(file({ keywords: 'SAMPLE_BACKING "black"' }))[0].backing).toBeUndefined();
  });

  it.each<[string, string, number]>([
    ['SPECTRAL_NM450', spectral((n) => `SPECTRAL_NM${n}`, '0.25'), 0.25],
    ['SPECTRAL_450', spectral((n) => `SPECTRAL_${n}`, '0.25'), 0.25],
    ['SPEC_450', spectral((n) => `SPEC_${n}`, '25'), 0.25],
    ['nm450', spectral((n) => `nm${n}`, '25.5'), 0.255],
    ['R_450', spectral((n) => `R_${n}`, '0.25'), 0.25],
    ['SPECTRAL_PCT_450', spectral((n) => `SPECTRAL_PCT_${n}`, '1.25'), 0.0125],
    ['SPECTRAL_DEC_450', spectral((n) => `SPECTRAL_DEC_${n}`, '1.25'), 1.25],
    ['SPECTRAL_NORM 100', spectral((n) => `SPEC_${n}`, '1.25', 'SPECTRAL_NORM "100.000"'), 0.0125],
    ['SPECTRAL_NORM 1', spectral((n) => `SPEC_${n}`, '1.25', 'SPECTRAL_NORM 1'), 1.25],
    ['decimal commas', spectral((n) => `SPEC_${n}`, '0,25'), 0.25],
  ])('reads a spectrum from %s', (_name, text, value) => {
    const [{ spectrum }] = readings(text);
    expect(spectrum?.wavelengthsNm).toEqual(nm);
    expect(spectrum?.reflectance).toEqual(nm.map(() => value));
  });

  it('reads a spectrum from pairs of wavelength and value', () => {
    const text = (second: number) =>
      file({
        fields: `SAMPLE_NAME ${nm.map(() => 'SPECTRAL_NM SPECTRAL_PCT').join(' ')}`,
        sets: `Kelp ${nm.map((n) => `${n} 25`).join(' ')}\nFoam ${nm.map((n) => `${n + second} 75`).join(' ')}`,
      });
    expect(readings(text(0))[1].spectrum).toEqual({
      wavelengthsNm: nm,
      reflectance: nm.map(() => 0.75),
    });
    expect(errorOf(text(5)).detail).toContain(
      'tiles.txt, line 8, column 2 (SPECTRAL_NM): found "405", expected 400 nm',
    );
  });

  it('has exact wavelengths where names round them', () => {
    // 106 bands from 380 to 730 nm, 3 1/3 nm apart, as some hand instruments give.
    const exact = Array.from({ length: 106 }, (_, i) => 380 + (i * 350) / 105);
    const text = file({
      keywords:
        'SPECTRAL_BANDS "106"\nSPECTRAL_START_NM "380.000000"\nSPECTRAL_END_NM "730.000000"',
      fields: `SAMPLE_NAME ${exact.map((n) => `SPEC_${Math.round(n)}`).join(' ')}`,
      sets: `Kelp ${exact.map(() => 0.2).join(' ')}`,
    });
    const found = readings(text)[0].spectrum?.wavelengthsNm ?? [];
    expect(found).toHaveLength(106);
    found.forEach((n, i) => {
      expect(n).toBeCloseTo(exact[i], 9);
    });
  });

  it('reads names with spaces and empty values where tabs separate them', () => {
    const fields = 'SAMPLE_ID\tSAMPLE_NAME\tLAB_L\tLAB_A\tLAB_B\tPHOTO';
    const [first, second] = readings(
      file({ fields, sets: '1\t5 Kelp + 2 Foam\t45\t0\t0\t\n2\t"Kelp"\t45\t0\t0\ttray 2\t' }),
    );
    expect([formatRecipe(first.of), first.photo]).toEqual(['5 Kelp + 2 Foam', undefined]);
    expect([formatRecipe(second.of), second.photo]).toEqual(['Kelp', 'tray 2']);
  });

  it('reads sets over several lines, remarks, and quotes doubled inside quotes', () => {
    const [first, second] = readings(
      file({
        keywords: '# a remark\nDESCRIPTOR "a # inside" # outside\nKEYWORD "MY_OWN"\nMY_OWN "x"',
        sets: '1 "2 ""a + b"""\n 45 0\n 0 # end\n\n2 A#1 46 0 0',
      }),
    );
    expect(formatRecipe(first.of)).toBe('2 "a + b"');
    expect([first.place.line, second.place.line]).toEqual([10, 14]);
    expect(second.of[0].clay).toBe('A#1');
  });

  it.each<[string, string, string]>([
    [
      'wrong field count',
      file({ keywords: 'NUMBER_OF_FIELDS 6' }),
      'line 2: found "NUMBER_OF_FIELDS 6", expected NUMBER_OF_FIELDS 5',
    ],
    [
      'wrong set count',
      file({ keywords: 'NUMBER_OF_SETS 2' }),
      'line 2: found "NUMBER_OF_SETS 2", expected NUMBER_OF_SETS 1',
    ],
    [
      'two counts',
      file({ keywords: 'NUMBER_OF_SETS 1\nNUMBER_OF_SETS 2' }),
      'line 3: found "NUMBER_OF_SETS 2", expected NUMBER_OF_SETS once (line 2 has "1")',
    ],
    ['no sets', file({ sets: '' }), 'found headings and no rows'],
    ['a short set', file({ sets: '1 Kelp 45 0' }), 'line 7: found a set of 4 values, expected 5'],
    [
      'a long set',
      file({ sets: '1 Kelp 45 0 0 0' }),
      'line 7: found a set of 6 values, expected 5',
    ],
    [
      'a short set, then others',
      file({ sets: '1 Kelp 45 0\n2 Foam 90 0 0' }),
      'line 7: found a set of 9 values',
    ],
    [
      'a name without quotes',
      file({ sets: '1 5 Kelp + 2 Foam 45 0 0' }),
      'line 7: found a set of 9 values, expected 5',
    ],
    ['an open quote', file({ sets: '1 "Kelp 45 0 0' }), 'line 7, column 2: found an open quote'],
    [
      'a word for a number',
      file({ sets: '1 Kelp 45 low 0' }),
      'line 7, column 4 (LAB_A): found "low", expected a number',
    ],
    [
      'a wrong recipe',
      file({ sets: '1 "5 Kelp +" 45 0 0' }),
      'line 7, column 2 (SAMPLE_NAME): In the recipe "5 Kelp +"',
    ],
    [
      'no END_DATA',
      'CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_NAME\nEND_DATA_FORMAT\nBEGIN_DATA\nKelp\n',
      'found the end of the file, expected END_DATA',
    ],
    [
      'no BEGIN_DATA',
      'CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_NAME\nEND_DATA_FORMAT\n',
      'found the end of the file, expected BEGIN_DATA',
    ],
    [
      'no END_DATA_FORMAT',
      'CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_NAME\n',
      'found the end of the file, expected END_DATA_FORMAT',
    ],
    [
      'no table',
      'CGATS.17\nORIGINATOR "me"\n',
      'found the end of the file, expected BEGIN_DATA_FORMAT',
    ],
    [
      'values beside BEGIN_DATA',
      file({}).replace('BEGIN_DATA\n', 'BEGIN_DATA '),
      'line 6: found "BEGIN_DATA 1 ',
    ],
    [
      'two tables',
      file({}) + file({}),
      'line 11: found "BEGIN_DATA_FORMAT", expected one table in the file',
    ],
    [
      'a field twice',
      file({ fields: 'SAMPLE_NAME LAB_L lab_l LAB_A LAB_B' }),
      'line 4, column 3: found "lab_l", expected each field once (column 2 has the same)',
    ],
    [
      'no name',
      file({ fields: 'SAMPLE_ID LAB_L LAB_A LAB_B', sets: '1 45 0 0' }),
      'line 3: found no field with the recipe of the tile',
    ],
    [
      'no tile',
      file({ fields: 'OF LAB_L LAB_A LAB_B', sets: 'Kelp 45 0 0' }),
      'line 3: found no field that names the tile',
    ],
    [
      'no colour',
      file({ fields: 'SAMPLE_NAME XYZ_X', sets: 'Kelp 45' }),
      'line 3: found no heading of a colour',
    ],
    [
      'an unknown light',
      file({ keywords: 'ILLUMINANT "D55"' }),
      'line 2: found "D55", expected D50, D65, A, FL11 or LED-B3',
    ],
    [
      'an unknown geometry',
      file({ keywords: 'MEASUREMENT_GEOMETRY "sphere"' }),
      'line 2: found "sphere", expected included or excluded',
    ],
    [
      'wrong bands',
      spectral((n) => `SPEC_${n}`, '0.2', 'SPECTRAL_BANDS 36'),
      'line 2: found "SPECTRAL_BANDS 36", expected SPECTRAL_BANDS 31',
    ],
    [
      'wrong start',
      spectral((n) => `SPEC_${n}`, '0.2', 'SPECTRAL_START_NM 380'),
      'line 2: found "380", expected 400 nm',
    ],
    [
      'another norm',
      spectral((n) => `SPEC_${n}`, '0.2', 'SPECTRAL_NORM 255'),
      'line 2: found "255", expected SPECTRAL_NORM 1 or 100',
    ],
    [
      'values past the norm',
      spectral((n) => `SPEC_${n}`, '45', 'SPECTRAL_NORM 1'),
      'line 7, column 3 (SPEC_400): found "45", expected a reflectance between -0.02 and 1.3',
    ],
  ])('is refused for %s', (_name, text, message) => {
    const error = errorOf(text);
    expect(error.kind).toBe('bad-input');
    expect(error.detail).toContain(message.startsWith('line') ? `tiles.txt, ${message}` : message);
    expect(error.hint).not.toBe('');
  });
});

describe('CSV or CGATS', () => {
  const bytes = (text: string) => new TextEncoder().encode(text);
  it('is decided by the content of the file', () => {
    expect(readReadings(bytes(file({})), 'tiles.csv').readings).toHaveLength(1);
    expect(readReadings(bytes(file({ first: 'CTI3' })), 'tiles.csv').readings).toHaveLength(1);
    expect(
      readReadings(bytes(`\r\n${file({}).replaceAll('\n', '\r\n')}`), 'x').readings,
    ).toHaveLength(1);
    expect(readReadings(bytes('tile,of,L,a,b\nT1,Kelp,45,0,0'), 'tiles.ti3').readings).toHaveLength(
      1,
    );
    expect(() => readReadings(bytes('CGATS.17\n'), 'x.txt')).toThrow('expected BEGIN_DATA_FORMAT');
  });
});
