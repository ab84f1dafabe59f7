import { describe, expect, it } from 'vitest';
import { AppError } from '../core/errors.ts';
import { readingSchema } from '../domain/records/reading.ts';
import { readReadingsCsv } from './readings-csv.ts';

const bytes = (text: string) => new TextEncoder().encode(text);
const read = (text: string) => readReadingsCsv(bytes(text), 'tiles.csv');
const readings = (text: string) => read(text).readings;

function errorOf(text: string): AppError {
  try {
    read(text);
  } catch (error) {
    if (error instanceof AppError) return error;
    throw error;
  }
  throw new Error('the file was read');
}

const nm = Array.from({ length: 31 }, (_, i) => 400 + 10 * i);
const bandHeads = nm.map((n) => `R${n}`).join(',');
const bands = (value: number | string) => nm.map(() => value).join(',');

describe('a row of Lab', () => {
  it('uses the defaults for what is missing', () => {
    const [mix, clay] = readings(
      'tile,of,L,a,b\nT1,5 Kelp + 2 Foam,45.2,-20,18.5\nT2,Kelp,40,-25,20\n',
    );
    expect(mix).toEqual({
      tile: 'T1',
      of: [
        { clay: 'Kelp', parts: 5 },
        { clay: 'Foam', parts: 2 },
      ],
      kind: 'measured',
      basis: 'volume',
      state: 'baked',
      lab: { values: [45.2, -20, 18.5], light: 'D50', observer: 2 },
      spread: 0.5,
      geometry: 'unstated',
      partsSpread: 0.03,
      place: { file: 'tiles.csv', line: 2 },
    });
    expect(clay.partsSpread).toBe(0);
  });

  it('reads every column, in any order and case', () => {
    const [reading] = readings(
      'B*,A*,l*,Parts Spread,PHOTO,backing,thickness_mm,Geometry,SPREAD,Observer,LIGHT,State,Basis,Kind,effect,OF,Tile,note 2,x-shelf\n' +
        '18.5,-20,45.2,0.1,tray 2,black,2.5,45:0,0.8,10,d65,Raw,weight,Claimed,PEARL,Kelp,T1,"dry, dull",4\n',
    );
    expect(reading).toEqual({
      tile: 'T1',
      of: [{ clay: 'Kelp', parts: 1 }],
      kind: 'claimed',
      basis: 'weight',
      state: 'raw',
      lab: { values: [45.2, -20, 18.5], light: 'D65', observer: 10 },
      spread: 0.8,
      geometry: 'excluded',
      thicknessMm: 2.5,
      backing: 0.02,
      photo: 'tray 2',
      effect: 'pearl',
      partsSpread: 0.1,
      place: { file: 'tiles.csv', line: 2 },
    });
    readingSchema.parse(reading);
  });

  it('has a white backing where only a thickness is given', () => {
    expect(readings('tile,of,L,a,b,thicknessMm\nT1,Kelp,45,0,0,3')[0].backing).toBe(0.8);
  });
});

describe('how a colour was measured', () => {
  const heads = 'tile,of,kind,L,a,b,spread';

  it('decides the spread, unless the row has one', () => {
    // docs/formats.md, column spread: common practice, no source.
    const usual = { measured: 0.5, rough: 5, 'by eye': 4, claimed: 6, borrowed: 1.5 };
    const kinds = Object.keys(usual);
    const rows = kinds.map((kind, i) => `T${i},Kelp,${kind},45,0,0,`);
    const got = readings(`${heads}\n${rows.join('\n')}\nT9,Kelp,rough,45,0,0,8`);
    expect(got.map(({ kind }) => kind)).toEqual([...kinds, 'rough']);
    expect(got.map(({ spread }) => spread)).toEqual([...Object.values(usual), 8]);
    expect(readings('tile,of,L,a,b,kind\nT1,Kelp,45,0,0,')[0].kind).toBe('measured');
  });

  it('is the same for a spectrum: another book stays another book', () => {
    const [reading] = readings(`tile,of,kind,${bandHeads}\nT1,Kelp,borrowed,${bands(0.2)}`);
    expect(reading.spread).toBe(1.5);
  });

  it('is refused in unknown words', () => {
    expect(errorOf(`${heads}\nT1,Kelp,guessed,45,0,0,`).detail).toContain(
      'line 2, column 3 (kind): found "guessed"',
    );
  });
});

describe('a special clay', () => {
  it('has the effect on a tile of that clay alone, and a mix has none', () => {
    const heads = 'tile,of,effect,L,a,b';
    const [pearl, plain] = readings(`${heads}\nT1,3 Kelp,Pearl,45,0,0\nT2,Kelp,,45,0,0`);
    expect([pearl.effect, 'effect' in plain]).toEqual(['pearl', false]);
    const error = errorOf(`${heads}\nT1,Kelp,pearl,45,0,0\nT2,Kelp + Foam,pearl,60,0,0`);
    expect(error.detail).toContain('line 3, column 3 (effect): found "pearl"');
    expect(error.hint).toContain('alone');
  });
});

describe('a row of a spectrum', () => {
  it('gives the wavelengths and values as measured, by rising wavelength', () => {
    const heads = nm
      .toReversed()
      .map((n) => `R${n}`)
      .join(',');
    const values = nm.toReversed().map((n) => (n - 300) / 1000);
    const [reading] = readings(`tile,of,${heads}\nT1,Kelp,${values.join(',')}\n`);
    expect(reading.spectrum).toEqual({
      wavelengthsNm: nm,
      reflectance: nm.map((n) => (n - 300) / 1000),
    });
    expect([reading.spread, reading.geometry]).toEqual([0.2, 'included']);
  });

  it('may have any range and step, with a Lab or without, or be empty', () => {
    const fine = Array.from({ length: 85 }, (_, i) => 360 + 5 * i);
    const head = `tile,of,L,a,b,${fine.map((n) => `r${n}nm`).join(',')}`;
    const both = `T1,Kelp,45,1,2,${fine.map(() => 0.2).join(',')}`;
    const labOnly = `T2,Foam,90,1,2,${fine.map(() => '').join(',')}`;
    const [first, second] = readings(`${head}\n${both}\n${labOnly}\n`);
    expect(first.spectrum?.wavelengthsNm).toEqual(fine);
    expect(first.lab?.values).toEqual([45, 1, 2]);
    expect(second.spectrum).toBeUndefined();
    expect([first.spread, second.spread]).toEqual([0.2, 0.5]);
  });

  it.each(['400', '400 nm', '400nm', 'R400', 'R 400 (nm)', 'SPECTRAL_400'])(
    'has wavelengths like %s as headings',
    (pattern) => {
      const heads = nm.map((n) => pattern.replace('400', String(n))).join(',');
      const [reading] = readings(`tile,of,${heads}\nT1,Kelp,${bands(0.2)}\n`);
      expect(reading.spectrum).toEqual({ wavelengthsNm: nm, reflectance: nm.map(() => 0.2) });
    },
  );

  it('states the scale of a row in a column', () => {
    const heads = `tile,of,scale,${bandHeads}`;
    const rows = `T1,Kelp,0-100,${bands(0.5)}\nT2,Foam,0-1,${bands(0.5)}`;
    const read = readings(`${heads}\n${rows}\n`);
    expect(read.map(({ spectrum }) => spectrum?.reflectance[0])).toEqual([0.005, 0.5]);
  });

  it('is divided by 100 where it is per cent, and a note says so where the values decided', () => {
    const decided = read(`tile,of,${bandHeads}\nT1,Kelp,${bands(25)}\n`);
    expect(decided.readings[0].spectrum?.reflectance).toEqual(nm.map(() => 0.25));
    expect(decided.notes).toEqual(['tiles.csv: the reflectances are read as per cent (0-100).']);
    const heads = nm.map((n) => `R${n}%`).join(',');
    const stated = read(`tile,of,${heads}\nT1,Kelp,${bands(1.25)}\n`);
    expect(stated.readings[0].spectrum?.reflectance).toEqual(nm.map(() => 0.0125));
    expect(stated.notes).toEqual([]);
  });
});

describe('the same file written in another way', () => {
  const plain = readings('tile,of,L,a,b\nT1,0.16 P01 + 2 Foam,45.2,-20.5,18.5\n');
  it.each([
    ['CR LF', 'tile,of,L,a,b\r\nT1,0.16 P01 + 2 Foam,45.2,-20.5,18.5\r\n'],
    ['CR', 'tile,of,L,a,b\rT1,0.16 P01 + 2 Foam,45.2,-20.5,18.5'],
    ['a byte-order mark', '\ufefftile,of,L,a,b\nT1,0.16 P01 + 2 Foam,45.2,-20.5,18.5\n'],
    ['quotes', '"tile","of","L","a","b"\n"T1","0.16 P01 + 2 Foam","45.2","-20.5","18.5"\n'],
    ['tabs', 'tile\tof\tL\ta\tb\nT1\t0.16 P01 + 2 Foam\t45.2\t-20.5\t18.5\n'],
    ['semicolons', 'tile;of;L;a;b\nT1;0.16 P01 + 2 Foam;45.2;-20.5;18.5\n'],
    ['decimal commas', 'tile;of;L;a;b\nT1;0,16 P01 + 2 Foam;45,2;-20,5;18,5\n'],
    ['tabs and commas', 'tile\tof\tL\ta\tb\nT1\t0,16 P01 + 2 Foam\t45,2\t-20,5\t18,5\n'],
    ['quoted decimal commas', 'tile,of,L,a,b\nT1,"0,16 P01 + 2 Foam","45,2","-20,5","18,5"\n'],
    ['other headings', 'Name,Recipe,L*,CIE a*,CIELAB b\nT1,0.16 P01 + 2 Foam,45.2,-20.5,18.5\n'],
    ['trailing separators', 'tile,of,L,a,b,,\nT1,0.16 P01 + 2 Foam,45.2,-20.5,18.5,,\n'],
    ['an empty row', 'tile,of,L,a,b\nT1,0.16 P01 + 2 Foam,45.2,-20.5,18.5\n,,,,\n'],
  ])('%s', (_name, text) => {
    expect(readings(text)).toEqual(plain);
  });

  it('skips remarks and a line sep= before the headings, and counts their lines', () => {
    const [reading] = readings(
      '# my tray\n\n"# more, of it"\nsep=;\ntile;of;L;a;b\nT1;Kelp;45,2;0;0',
    );
    expect(reading.place.line).toBe(6);
  });

  it('reads # as data after the headings', () => {
    expect(readings('tile,of,L,a,b\n#3,Kelp,45,0,0')[0].tile).toBe('#3');
  });
});

describe('tiles and clays named again', () => {
  it('are one tile, one clay, spelt as first', () => {
    const [first, second, raw] = readings(
      'tile,of,state,L,a,b\nT1,5 Kelp + 2 Foam,,45,0,0\nt1,10 KELP + 4  foam,,46,0,0\nT1,5 Kelp+2 Foam,raw,47,0,0\n',
    );
    expect(second.tile).toBe('T1');
    expect(second.of.map((term) => term.clay)).toEqual(['Kelp', 'Foam']);
    expect([first.state, raw.state]).toEqual(['baked', 'raw']);
  });

  it.each([
    [
      'T1,5 Kelp + 2 Foam,,45,0,0\nT1,5 Kelp + 3 Foam,,45,0,0',
      'found tile "T1" made of 5 Kelp + 3 Foam by volume, expected 5 Kelp + 2 Foam by volume, as on line 2',
    ],
    ['T1,5 Kelp + 2 Foam,,45,0,0\nT1,5 Kelp + 2 Foam,weight,45,0,0', 'by weight, expected'],
    ['T1,Kelp,,45,0,0\nT1,Kelp + Foam,,45,0,0', 'made of 1 Kelp + 1 Foam'],
  ])('with another mix are refused %#', (rows, message) => {
    const error = errorOf(`tile,of,basis,L,a,b\n${rows}\n`);
    expect(error.detail).toContain('tiles.csv, line 3: ');
    expect(error.detail).toContain(message);
  });

  it('are the same by weight and by volume where there is one clay', () => {
    expect(readings('tile,of,basis,L,a,b\nT1,Kelp,,45,0,0\nT1,2 Kelp,weight,45,0,0')).toHaveLength(
      2,
    );
  });
});

describe('a Lab from 0 to 1', () => {
  const head = 'tile,of,L,a,b';
  it.each([
    ['many tiles', 'T1,Kelp,0.41,-24,18\nT2,Foam,0.9,-1,2\nT3,Sand,0.6,3,9'],
    ['one tile with a and b as small', 'T1,Kelp,0.41,-0.24,0.18'],
  ])('is refused for %s, with what to do', (_name, rows) => {
    const error = errorOf(`${head}\n${rows}\n`);
    expect(error.detail).toContain('tiles.csv, line 2, column 3 (L): found no L above 0.');
    expect(error.detail).toContain('expected L from 0 (black) to 100 (white)');
    expect(error.hint).toContain('multiply L by 100');
  });

  it('is no question where a tile is lighter, or black is exactly 0', () => {
    expect(readings(`${head}\nT1,Kelp,0.9,0,0\nT2,Foam,90,0,0\n`)).toHaveLength(2);
    expect(readings(`${head}\nT1,Kelp,0,0,0\n`)).toHaveLength(1);
  });
});

describe('a dark spectrum in per cent', () => {
  it('is not read as 0-1 without a question', () => {
    const error = errorOf(`tile,of,${bandHeads}\nT1,Kelp,${bands(0.9)}\n`);
    expect(error.detail).toContain('line 2: found reflectances from 0.9 to 0.9 in the whole file');
    expect(error.hint).toContain('a column "scale" with 0-1 or 0-100');
  });

  it('is read where L beside it says which', () => {
    const scaleOf = (l: number) =>
      readings(`tile,of,L,a,b,${bandHeads}\nT1,Kelp,${l},0,0,${bands(0.5)}\n`)[0].spectrum
        ?.reflectance[0];
    expect([scaleOf(4.5), scaleOf(76)]).toEqual([0.005, 0.5]);
  });
});
