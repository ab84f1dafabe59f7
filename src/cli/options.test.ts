import { describe, expect, it } from 'vitest';
import { givenFrom, namesOf, numberOf } from './options.ts';

describe('names in a list', () => {
  it.each<[string[], string[]]>([
    [['A, B'], ['A', 'B']],
    [
      ['A', ' B ,C'],
      ['A', 'B', 'C'],
    ],
    [['"Kelp, dark", Foam'], ['Kelp, dark', 'Foam']],
    [['"7 ""Sisters"""'], ['7 "Sisters"']],
    [[' , '], []],
  ])('%j', (texts, names) => {
    expect(namesOf(texts)).toEqual(names);
  });
});

describe('a call', () => {
  it('keeps operands, switches and values apart, in any order', () => {
    const kinds = { json: 'switch', only: 'values', top: 'value' } as const;
    const given = givenFrom(
      ['--only=A', 'x.json', '--json', '--only', '-b', '--', '--top'],
      kinds,
      '',
    );
    expect(given.operands).toEqual(['x.json', '--top']);
    expect([...given.switches]).toEqual(['json']);
    expect(given.values.get('only')).toEqual(['A', '-b']);
  });

  it.each([
    ['2', 2],
    ['2,5', 2.5],
    ['.5', 0.5],
    ['+3', 3],
  ])('reads %s as a number', (text, value) => {
    const given = givenFrom(['--top', text], { top: 'value' }, '');
    expect(numberOf(given, 'top', 1, [0, 10], '')).toBe(value);
  });

  it.each(['', '1e1', '0x2', 'Infinity', '11', '-1', '1,2,3'])('takes %j for no number', (text) => {
    const given = givenFrom([`--top=${text}`], { top: 'value' }, '');
    expect(() => numberOf(given, 'top', 1, [0, 10], '')).toThrow('it is a number from 0 to 10');
  });
});
