import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { words } from '../verbs/verb.ts';
import { fieldValue, namesOf } from './field-values.ts';
import { optionFields } from './option-fields.ts';
import { givenFrom } from './options.ts';

const FIELDS = optionFields(
  z.strictObject({
    only: z.array(z.string()).meta(words({ option: 'only', help: '' })),
    top: z
      .number()
      .min(0)
      .max(10)
      .default(1)
      .meta(words({ option: 'top', help: '' })),
    near: z.enum(['white', 'black']).meta(words({ option: 'near', help: '' })),
  }),
);
const [, TOP, NEAR] = FIELDS;

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
    const given = givenFrom(
      ['--only=A', 'x.json', '--json', '--only', '-b', '--', '--top'],
      FIELDS,
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
    expect(fieldValue(TOP, [text], '')).toBe(value);
  });

  it.each(['', '1e1', '0x2', 'Infinity', '11', '-1', '1,2,3'])('takes %j for no number', (text) => {
    expect(() => fieldValue(TOP, [text], '')).toThrow('it is a number from 0 to 10');
  });

  it('names what a word may be, and the closest', () => {
    expect(() => fieldValue(NEAR, ['whit'], '')).toThrow(
      'it is white or black. Did you mean white?',
    );
  });
});
