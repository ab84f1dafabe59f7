import { describe, expect, it } from 'vitest';
import { AppError } from '../core/errors.ts';
import { readingSchema } from '../domain/reading.ts';
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
      geometry: 'excluded',
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

describe('a file that can be read in two ways', () => {
  const head = 'tile,of,L,a,b';
  const spectral = `tile,of,${bandHeads}`;
  const errorAt = (i: number, typed: string) =>
    nm.map((_, k) => (k === i ? typed : '0.3')).join(',');
  it.each<[string, string, string]>([
    [
      'an unknown heading',
      'tile,of,L,a,b,spred\nT1,Kelp,1,2,3,4',
      'line 1, column 6: found "spred", expected a known heading, perhaps "spread"',
    ],
    [
      'an unknown band',
      'tile,of,Ref450\nT1,Kelp,1',
      'line 1, column 3: found "Ref450", expected a known heading, perhaps "R450"',
    ],
    [
      'a heading twice',
      'tile,of,L,a,b,l*\nT1,Kelp,1,2,3,1',
      'line 1, column 6: found "l*", expected each heading once (column 3, "L", is the same)',
    ],
    [
      'a band twice',
      'tile,of,R450,R450.0\nT1,Kelp,1,2',
      'line 1, column 4: found "R450.0", expected each heading once',
    ],
    [
      'no tile',
      'of,L,a,b\nKelp,1,2,3',
      'line 1: found no such column among the headings, expected a column "tile"',
    ],
    ['no recipe', 'tile,L,a,b\nT1,1,2,3', 'expected a column "of"'],
    ['no headings', 'T1,Kelp,45,2,3', 'line 1, column 1: found "T1", expected a known heading'],
    ['remarks alone', '# one\n# two\n', 'found no headings'],
    ['no rows', `${head}\n`, 'found headings and no rows'],
    [
      'a short row',
      `${head}\nT1,Kelp,45,2\n`,
      'line 2: found 4 cells, expected 5, as in the headings',
    ],
    [
      'a long row',
      `${head}\nT1,Kelp,45,2,3\nT2,Kelp,45,2,-20,5\n`,
      'line 3: found 6 cells, expected 5',
    ],
    [
      'text without a heading',
      `${head},\nT1,Kelp,45,2,3,x\n`,
      'line 2, column 6: found "x", expected nothing',
    ],
    [
      'no tile name',
      `${head}\n,Kelp,45,2,3`,
      'line 2, column 1 (tile): found nothing, expected the name of the tile',
    ],
    ['no mix', `${head}\nT1,,45,2,3`, 'line 2, column 2 (of): found nothing, expected a recipe'],
    [
      'a wrong recipe',
      `${head}\nT1,5 Kelp ++ Foam,45,2,3`,
      'line 2, column 2 (of): In the recipe "5 Kelp ++ Foam", character 9: found "+ Foam"',
    ],
    [
      'thousands',
      `${head}\nT1,Kelp,"1,234.5",2,3`,
      'line 2, column 3 (L): found "1,234.5", expected a number such as 45.2',
    ],
    ['a dash', `${head}\nT1,Kelp,45,-,3`, 'line 2, column 4 (a): found "-", expected a number'],
    ['n/a', `${head}\nT1,Kelp,45,2,n/a`, 'line 2, column 5 (b): found "n/a", expected a number'],
    ['NaN', `${head}\nT1,Kelp,NaN,2,3`, 'line 2, column 3 (L): found "NaN", expected a number'],
    [
      'Infinity',
      `${head}\nT1,Kelp,45,Infinity,3`,
      'line 2, column 4 (a): found "Infinity", expected a number',
    ],
    [
      'too large to hold',
      `${head}\nT1,Kelp,45,1e999,3`,
      'line 2, column 4 (a): found "1e999", expected a number',
    ],
    [
      'words',
      `${head}\nT1,Kelp,light,2,3`,
      'line 2, column 3 (L): found "light", expected a number',
    ],
    [
      'half a Lab',
      `${head}\nT1,Kelp,45,,3`,
      'line 2, column 4 (a): found nothing, expected all three of L, a and b',
    ],
    [
      'half the columns of Lab',
      'tile,of,L,b\nT1,Kelp,45,3',
      'line 1: found the headings L and b without a, expected all three of L, a and b',
    ],
    ['no colour', `${head}\nT1,Kelp,,,`, 'line 2: found a row without a colour'],
    ['no L column', 'tile,of,a,b\nT1,Kelp,2,3', 'line 1: found the headings a and b without L'],
    ['no column of a colour', 'tile,of\nT1,Kelp', 'line 1: found no heading of a colour'],
    [
      'L past the scale',
      `${head}\nT1,Kelp,145,2,3`,
      'line 2, column 3 (L): found "145", expected a number between -0.5 and 101',
    ],
    ['L below it', `${head}\nT1,Kelp,-5,2,3`, 'line 2, column 3 (L): found "-5"'],
    [
      'an axis far out',
      `${head}\nT1,Kelp,45,2,-201`,
      'line 2, column 5 (b): found "-201", expected a number between -200 and 200',
    ],
    [
      'both decimal marks',
      'tile;of;L;a;b\nT1;Kelp;45,2;2.5;3',
      'line 2, column 4 (a): found "2.5", expected decimals with ","',
    ],
    [
      'thousands with points',
      'tile;of;L;a;b\nT1;Kelp;1.045,2;2;3',
      'line 2, column 3 (L): found "1.045,2"',
    ],
    ['an open quote', `${head}\nT1,"Kelp,45,2,3\n`, 'line 2, column 2: found an open quote'],
    [
      'an unknown light',
      `${head},light\nT1,Kelp,45,2,3,D55`,
      'line 2, column 6 (light): found "D55", expected D50, D65, A, FL11 or LED-B3',
    ],
    [
      'an unknown observer',
      `${head},observer\nT1,Kelp,45,2,3,4`,
      'line 2, column 6 (observer): found "4", expected 2 or 10',
    ],
    [
      'half a geometry',
      `${head},geometry\nT1,Kelp,45,2,3,d/8`,
      'line 2, column 6 (geometry): found "d/8", expected included or excluded',
    ],
    [
      'an unknown state',
      `${head},state\nT1,Kelp,45,2,3,hot`,
      'line 2, column 6 (state): found "hot", expected raw or baked',
    ],
    [
      'an unknown basis',
      `${head},basis\nT1,Kelp,45,2,3,size`,
      'line 2, column 6 (basis): found "size", expected volume or weight',
    ],
    [
      'a backing in per cent without the per cent sign',
      `${head},thicknessMm,backing\nT1,Kelp,45,2,3,3,80`,
      'line 2, column 7 (backing): found "80", expected white, black',
    ],
    [
      'a backing of nothing thin',
      `${head},backing\nT1,Kelp,45,2,3,white`,
      'line 2, column 6 (backing): found "white", expected a thickness beside it',
    ],
    [
      'a thickness of 0',
      `${head},thicknessMm\nT1,Kelp,45,2,3,0`,
      'line 2, column 6 (thicknessMm): found "0", expected a number between 0.01 and 100',
    ],
    ['a spread of 0', `${head},spread\nT1,Kelp,45,2,3,0`, 'line 2, column 6 (spread): found "0"'],
    [
      'a parts spread in per cent',
      `${head},partsSpread\nT1,Kelp,45,2,3,5`,
      'line 2, column 6 (partsSpread): found "5", expected a number between 0 and 1',
    ],
    [
      'a gap in a spectrum',
      `${spectral}\nT1,Kelp,${errorAt(4, '')}`,
      'line 2, column 7 (R440): found nothing, expected a reflectance such as 0.35',
    ],
    [
      'a word in a spectrum',
      `${spectral}\nT1,Kelp,${errorAt(4, 'x')}`,
      'line 2, column 7 (R440): found "x"',
    ],
    [
      'a typing error in a spectrum',
      `${spectral}\nT1,Kelp,${errorAt(4, '34')}\nT2,Foam,${bands(0.5)}`,
      'line 2, column 7 (R440): found "34", expected a reflectance between -0.02 and 1.3',
    ],
    [
      'a dark typing error',
      `${spectral}\nT1,Kelp,${errorAt(4, '-0.3')}`,
      'line 2, column 7 (R440): found "-0.3"',
    ],
    [
      'two scales',
      `${spectral}\nT1,Kelp,${bands(0.5)}\nT2,Foam,${bands(50)}`,
      'line 3: found reflectances up to 50',
    ],
    [
      'past per cent',
      `${spectral}\nT1,Kelp,${bands(50)}\nT2,Foam,${errorAt(4, '500').replaceAll('0.3', '30')}`,
      'line 3, column 7 (R440): found "500", expected a reflectance between -2 and 130',
    ],
    [
      'few bands',
      'tile,of,R450,R460\nT1,Kelp,0.2,0.3',
      'line 1: found 2 wavelengths between 380 and 730 nm, expected at least 10',
    ],
    [
      'a wide step',
      `${spectral.replace('R450,R460,', '')}\nT1,Kelp,${nm
        .slice(2)
        .map(() => 0.5)
        .join(',')}`,
      'line 1, column 8: found "R470", expected a wavelength at most 20 nm above 440',
    ],
    [
      'per cent on some',
      `${spectral.replace('R450', 'R450%')}\nT1,Kelp,${bands(0.5)}`,
      'line 1, column 8: found "R450%", expected the same scale as in "R440"',
    ],
    ['micrometres', 'tile,of,R0.45\nT1,Kelp,0.2', 'line 1, column 3: found "R0.45"'],
    [
      'far light',
      'tile,of,R2500\nT1,Kelp,0.2',
      'line 1, column 3: found "R2500", expected a wavelength between 300 and 1100 nm',
    ],
  ])('%s', (_name, text, message) => {
    const error = errorOf(text);
    expect(error.kind).toBe('bad-input');
    expect(error.detail).toContain(message.startsWith('line') ? `tiles.csv, ${message}` : message);
    expect(error.hint).not.toBe('');
  });
});
