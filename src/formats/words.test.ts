import { describe, expect, it } from 'vitest';
import { numberFrom } from './numbers.ts';
import {
  backingFrom,
  basisFrom,
  geometryFrom,
  lightFrom,
  observerFrom,
  stateFrom,
} from './words.ts';

describe('words in cells', () => {
  // CIE 15:2018 section 5: di:8 includes the specular component, de:8 excludes it; 45:0 has none.
  it.each([
    'included',
    'Included',
    'di:8',
    '8:di',
    'DI/8',
    'd/8 i',
    'd:8:i',
    'SCI',
    'SPIN',
    'di:8\u00b0',
  ])('%s has the gloss in', (word) => expect(geometryFrom(word)).toBe('included'));
  it.each([
    'excluded',
    'de:8',
    '8:de',
    'd/8 e',
    'SCE',
    'spex',
    '45:0',
    '45/0',
    '0/45',
    '45a:0',
    '45\u00b0:0\u00b0',
    '45\u00b0c:0\u00b0',
  ])('%s has the gloss out', (word) => expect(geometryFrom(word)).toBe('excluded'));
  it.each(['d/8', 'd:8', '8', 'sphere', '', 'constructor', '__proto__', '45', '0'])(
    '%j does not say',
    (word) => expect(geometryFrom(word)).toBeUndefined(),
  );

  it('lights and observers', () => {
    expect(['d50', 'D65', 'a', 'f11', 'FL 11', 'led-b3'].map(lightFrom)).toEqual([
      'D50',
      'D65',
      'A',
      'FL11',
      'FL11',
      'LED-B3',
    ]);
    expect(['C', 'D55', 'moon', 'toString', 'D50/2'].map(lightFrom)).toEqual(
      Array(5).fill(undefined),
    );
    expect(['2', '10', '2\u00b0', '10 deg', '10 degrees', '1964'].map(observerFrom)).toEqual([
      2, 10, 2, 10, 10, 10,
    ]);
    expect(['4', '', '2 10', 'valueOf'].map(observerFrom)).toEqual(Array(4).fill(undefined));
  });

  it('basis and state', () => {
    expect(['Volume', 'by weight', 'parts'].map(basisFrom)).toEqual([
      'volume',
      'weight',
      undefined,
    ]);
    expect(['RAW', 'baked', 'burnt'].map(stateFrom)).toEqual(['raw', 'baked', undefined]);
  });

  it('backings', () => {
    expect(['White', 'black', '0.5', '80 %', '3%', '1'].map((t) => backingFrom(t, '.'))).toEqual([
      0.8, 0.02, 0.5, 0.8, 0.03, 1,
    ]);
    expect(['80', '-0.1', '120 %', 'grey', '%', ''].map((t) => backingFrom(t, '.'))).toEqual(
      Array(6).fill(undefined),
    );
    expect(backingFrom('0,5', ',')).toBe(0.5);
  });
});

describe('numbers in cells', () => {
  it.each([
    ['45.2', '.', 45.2],
    ['-0,5', ',', -0.5],
    ['+3', '.', 3],
    ['.5', '.', 0.5],
    ['1E-05', '.', 1e-5],
    ['\u22123.5', '.', -3.5],
    ['7', ',', 7],
  ] as const)('%s with %s is %d', (text, mark, value) => {
    expect(numberFrom(text, mark)).toBe(value);
  });
  it.each([
    '',
    '-',
    '+',
    'n/a',
    'NaN',
    'Infinity',
    '-inf',
    '1,234.5',
    '1.234,5',
    '1 000',
    '5.',
    '1e999',
    '0x10',
    '1_0',
    '45.2 %',
    "'45",
    '4 5',
    '45..2',
    '1e',
    '\u0664\u0665',
    '12.3.4',
    '45,2',
  ])('%j is no number', (text) => expect(numberFrom(text, '.')).toBeUndefined());
});
