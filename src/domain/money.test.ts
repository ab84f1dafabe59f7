import { describe, expect, it } from 'vitest';
import { moneyFrom, plainMoney } from './money.ts';

describe('money as it is typed', () => {
  // Minor units of ISO 4217: two of the euro, none of the yen, three of the Kuwaiti dinar.
  it.each([
    ['4.10', 'EUR', 410],
    ['4,1', 'EUR', 410],
    ['0.29', 'EUR', 29],
    ['350', 'JPY', 350],
    ['1.25', 'KWD', 1250],
  ])('takes %s %s as %d', (text, currency, minor) => {
    const read = moneyFrom(text, currency);
    expect(read).toEqual({ minor, currency });
    expect(moneyFrom(plainMoney(read!), currency)).toEqual(read);
  });

  it('has hundredths where no currency is known', () => {
    expect(plainMoney({ minor: 350 })).toBe('3.50');
  });

  it.each(['', 'much', '-3', '1.2.3', '1e9', '4.1000'])('takes “%s” as no price', (text) => {
    expect(moneyFrom(text, 'EUR')).toBeUndefined();
  });
});
