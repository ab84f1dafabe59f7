import { describe, expect, it } from 'vitest';
import { columns, counted, fixed, moneyIn, plain, screenFrom, swatch } from './terminal-output.ts';

describe('colour in a terminal', () => {
  it.each<[Record<string, string>, boolean, boolean]>([
    [{ COLORTERM: 'truecolor' }, true, true],
    [{ COLORTERM: '24bit' }, true, true],
    [{ COLORTERM: 'truecolor', NO_COLOR: '' }, true, true],
    // no-color.org: any text but an empty one, whatever it says.
    [{ COLORTERM: 'truecolor', NO_COLOR: '0' }, true, false],
    [{ COLORTERM: 'truecolor', TERM: 'dumb' }, true, false],
    [{ COLORTERM: 'truecolor' }, false, false],
    [{}, true, false],
  ])('%j, terminal %s: %s', (env, isTerminal, colour) => {
    expect(screenFrom(env, isTerminal).colour).toBe(colour);
  });

  it('is nothing at all where none can be shown', () => {
    expect(swatch({ colour: false }, [50, 0, 0])).toBe('');
    // ECMA-48 SGR 48;2;r;g;b; sRGB of L 0 and 100 is black and white.
    expect(swatch({ colour: true }, [0, 0, 0], [100, 0, 0])).toBe(
      '\u001b[48;2;0;0;0m      \u001b[48;2;255;255;255m      \u001b[0m  ',
    );
  });
});

describe('text', () => {
  it('has money in the units of its currency', () => {
    // ISO 4217: the yen has no minor unit, the Kuwaiti dinar has thousandths.
    expect(moneyIn(350, 'JPY')).toBe('350 JPY');
    expect(moneyIn(1250, 'KWD')).toBe('1.250 KWD');
    expect(moneyIn(1250, 'EUR')).toBe('12.50 EUR');
    expect(moneyIn(1250, undefined)).toBe('12.50');
  });

  it('stands in columns', () => {
    const rows = [
      ['a', '1.5', 'x'],
      ['long', '10.5', ''],
    ];
    expect(columns(rows, 'lrl')).toEqual(['a      1.5  x', 'long  10.5']);
  });

  it('never shows -0, and obeys nothing that a name holds', () => {
    expect([fixed(-0.04, 1), fixed(-0.06, 1)]).toEqual(['0.0', '-0.1']);
    expect(plain('a\u001b[31m\nb')).toBe('a\u00b7[31m\u00b7b');
    expect([counted(1, 'tile'), counted(2, 'tile'), counted(0, 'tile')]).toEqual([
      '1 tile',
      '2 tiles',
      '0 tiles',
    ]);
  });
});
