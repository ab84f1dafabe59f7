import { invalidInput } from '../errors.ts';

/** A fraction in lowest terms; the denominator is above 0. */
export interface Rational {
  readonly num: bigint;
  readonly den: bigint;
}

/** Bits of a whole number that fit in a 64-bit number, and two more to round by. */
const DOUBLE_BITS = 55;

/** Greatest common divisor, never below 0; the divisor of 0 and 0 is 0. */
export function gcd(one: bigint, other: bigint): bigint {
  let [a, b] = [one < 0n ? -one : one, other < 0n ? -other : other];
  while (b !== 0n) [a, b] = [b, a % b];
  return a;
}

/** Least common multiple of two whole numbers above 0. */
export function lcm(one: bigint, other: bigint): bigint {
  return (one / gcd(one, other)) * other;
}

/** Refuses: a denominator of 0 -> invalid-input */
export function rational(num: bigint, den = 1n): Rational {
  if (den === 0n) throw invalidInput('A fraction has 0 as its denominator.');
  const common = gcd(num, den) * (den < 0n ? -1n : 1n);
  return { num: num / common, den: den / common };
}

/**
 * The fraction of a decimal as people write it: 0.1 is one tenth, not the closest binary number to
 * it.
 * Refuses: a number that is not finite -> invalid-input
 * Holds:   numberFromRational(rationalFromNumber(x)) = x
 */
export function rationalFromNumber(value: number): Rational {
  const found = /^(-?)(\d+)(?:\.(\d+))?(?:e([+-]\d+))?$/.exec(String(value));
  if (found === null) throw invalidInput(`${value} cannot be written as a fraction.`);
  const [, sign, whole, tenths = '', exponent = '0'] = found;
  const digits = BigInt(`${sign}${whole}${tenths}`);
  const power = Number(exponent) - tenths.length;
  return power >= 0
    ? rational(digits * 10n ** BigInt(power))
    : rational(digits, 10n ** BigInt(-power));
}

/**
 * The 64-bit number closest to a fraction, whatever the length of its two numbers.
 * Holds:   within half a unit in the last place, except below 1e-307, where it is within two
 */
export function numberFromRational({ num, den }: Rational): number {
  if (num < 0n) return -numberFromRational({ num: -num, den });
  const spare = bitsOf(den) - bitsOf(num) + DOUBLE_BITS;
  const [above, below] = spare > 0 ? [num << BigInt(spare), den] : [num, den << BigInt(-spare)];
  // A remainder sets the last bit, so that it is not rounded as a tie.
  const quotient = above / below;
  const sticky = above % below === 0n ? quotient : quotient | 1n;
  // In two steps, because 2^-spare alone may be too small for a 64-bit number.
  const half = Math.trunc(spare / 2);
  return Number(sticky) * 2 ** -half * 2 ** (half - spare);
}

/** Length of a whole number in bits; 0 for 0. */
export function bitsOf(value: bigint): number {
  if (value === 0n) return 0;
  const hex = value.toString(16);
  return (hex.length - 1) * 4 + (32 - Math.clz32(Number.parseInt(hex[0], 16)));
}

export function addRational(one: Rational, other: Rational): Rational {
  return rational(one.num * other.den + other.num * one.den, one.den * other.den);
}

export function timesRational(one: Rational, other: Rational): Rational {
  return rational(one.num * other.num, one.den * other.den);
}
