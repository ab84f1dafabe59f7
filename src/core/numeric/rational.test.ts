import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decades } from '../../../test/conformance/uniform.ts';
import { AppError } from '../errors.ts';
import {
  addRational,
  bitsOf,
  gcd,
  lcm,
  numberFromRational,
  rational,
  rationalFromNumber,
  timesRational,
} from './rational.ts';

const RUNS = { seed: 5501, numRuns: 300 };
const whole = fc.bigInt({ min: -(10n ** 30n), max: 10n ** 30n });
const above = fc.bigInt({ min: 1n, max: 10n ** 30n });

describe('a fraction', () => {
  it('is in lowest terms, with the sign in the numerator', () => {
    expect(rational(6n, -4n)).toEqual({ num: -3n, den: 2n });
    expect(rational(0n, -7n)).toEqual({ num: 0n, den: 1n });
    expect(() => rational(1n, 0n)).toThrow(AppError);
    fc.assert(
      fc.property(whole, above, (num, den) => {
        const r = rational(num, den);
        expect(r.num * den).toBe(num * r.den);
        expect(gcd(r.num, r.den)).toBe(1n);
      }),
      RUNS,
    );
  });

  it('adds and multiplies by the laws of a field', () => {
    const fractions = fc.tuple(whole, above).map(([n, d]) => rational(n, d));
    fc.assert(
      fc.property(fractions, fractions, fractions, (a, b, c) => {
        expect(addRational(a, b)).toEqual(addRational(b, a));
        expect(timesRational(a, addRational(b, c))).toEqual(
          addRational(timesRational(a, b), timesRational(a, c)),
        );
        expect(addRational(a, timesRational(rational(-1n), a))).toEqual(rational(0n));
      }),
      RUNS,
    );
  });

  it('has a least common multiple', () => {
    expect(lcm(4n, 6n)).toBe(12n);
    fc.assert(
      fc.property(above, above, (a, b) => {
        expect(lcm(a, b) * gcd(a, b)).toBe(a * b);
      }),
      RUNS,
    );
  });
});

describe('numbers and fractions', () => {
  it('takes a decimal as it is written', () => {
    expect(rationalFromNumber(0.16)).toEqual({ num: 4n, den: 25n });
    expect(rationalFromNumber(-2.5)).toEqual({ num: -5n, den: 2n });
    expect(rationalFromNumber(1e21)).toEqual({ num: 10n ** 21n, den: 1n });
    expect(rationalFromNumber(1.25e-7)).toEqual({ num: 1n, den: 8_000_000n });
    for (const bad of [Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => rationalFromNumber(bad)).toThrow(AppError);
    }
  });

  it('comes back to the same number', () => {
    fc.assert(
      fc.property(decades(-300, 300), fc.boolean(), (size, minus) => {
        const value = minus ? -size : size;
        expect(numberFromRational(rationalFromNumber(value))).toBe(value);
      }),
      RUNS,
    );
  });

  it('rounds a quotient as IEEE 754 division does', () => {
    // Division of two numbers that a double holds exactly is rounded correctly by the standard.
    const exact = fc.integer({ min: 1, max: Number.MAX_SAFE_INTEGER });
    fc.assert(
      fc.property(exact, exact, (n, d) => {
        expect(numberFromRational(rational(BigInt(n), BigInt(d)))).toBe(n / d);
      }),
      RUNS,
    );
  });

  it('reads fractions of numbers too long for a double', () => {
    const long = 10n ** 400n;
    expect(numberFromRational({ num: long, den: 3n * long })).toBe(1 / 3);
    expect(numberFromRational({ num: 0n, den: long })).toBe(0);
    expect(numberFromRational({ num: long + 1n, den: long })).toBe(1);
  });

  it('counts bits', () => {
    fc.assert(
      fc.property(fc.bigInt({ min: 0n, max: 2n ** 200n }), (n) => {
        expect(bitsOf(n)).toBe(n === 0n ? 0 : n.toString(2).length);
      }),
      RUNS,
    );
  });
});
