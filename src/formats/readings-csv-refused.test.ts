import { describe, expect, it } from 'vitest';
import { AppError } from '../core/errors.ts';
import { readReadingsCsv } from './readings-csv.ts';

const bytes = (text: string) => new TextEncoder().encode(text);
const read = (text: string) => readReadingsCsv(bytes(text), 'tiles.csv');

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
    [
      'a very long name',
      `tile,of,L,a,b\nT1,Kelp,45,2,3\n${'k'.repeat(10_000)},Kelp,45,2,3`,
      'line 3, column 1 (tile): found "kkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkk...", expected a name of at most 200 characters',
    ],
    ['a very long clay', `tile,of,L,a,b\nT1,${'k'.repeat(9_000)},45,2,3`, 'line 2, column 2'],
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
