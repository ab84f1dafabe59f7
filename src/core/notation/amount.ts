import {
  addRational,
  lcm,
  numberFromRational,
  type Rational,
  rational,
} from '../numeric/rational.ts';
import { RECIPE_LIMITS } from './terms.ts';

export interface AmountRead {
  readonly value: Rational;
  readonly percent: boolean;
  /** Characters of the text it takes. */
  readonly length: number;
  /** Absent where the amount can be used. */
  readonly problem?: AmountProblem;
}

/** What is wrong with an amount, in words. */
export interface AmountProblem {
  /** After the amount itself: "-1" is below 0. */
  readonly says: string;
  /** After "expected". */
  readonly expected: string;
  /** What to write, a whole sentence. */
  readonly hint: string;
}

/** Unicode's vulgar fractions, by the table of names in the Unicode Standard (Number Forms). */
const VULGAR: Readonly<Record<string, readonly [bigint, bigint]>> = {
  '½': [1n, 2n],
  '⅓': [1n, 3n],
  '⅔': [2n, 3n],
  '¼': [1n, 4n],
  '¾': [3n, 4n],
  '⅕': [1n, 5n],
  '⅖': [2n, 5n],
  '⅗': [3n, 5n],
  '⅘': [4n, 5n],
  '⅙': [1n, 6n],
  '⅚': [5n, 6n],
  '⅐': [1n, 7n],
  '⅛': [1n, 8n],
  '⅜': [3n, 8n],
  '⅝': [5n, 8n],
  '⅞': [7n, 8n],
  '⅑': [1n, 9n],
  '⅒': [1n, 10n],
};
const SYMBOLS = Object.keys(VULGAR).join('');
const MINUS = new RegExp(`[-\u2212\u2013](?=[\\d.,${SYMBOLS}])`, 'uy');
const AMOUNT = new RegExp(
  `(?:(?<whole>\\d{1,9})[ \\t]+)?(?<num>\\d{1,9})[/⁄](?<den>\\d{1,9})(?!\\d)|(?<before>\\d{1,9})?[ \\t]*(?<symbol>[${SYMBOLS}])|(?<decimal>\\d+(?:[.,]\\d+)?|[.,]\\d+)`,
  'uy',
);
const PERCENT = /[ \t]*%/y;
const TOO_LONG = 30;

/**
 * The amount at a place of a text: 3, 0.5, 0,5, .5, 1/2, 1 1/2, ½, 1½, 30 %. Recipes and notes share it.
 * Holds: the value is exact, thirds too; an amount that can mean two things, is below 0 or is out of
 *        range says so in `problem`
 */
export function amountAt(text: string, at: number): AmountRead | undefined {
  MINUS.lastIndex = at;
  const minus = MINUS.exec(text)?.[0].length ?? 0;
  AMOUNT.lastIndex = at + minus;
  const found = AMOUNT.exec(text);
  const groups = found?.groups;
  if (found === null || groups === undefined) return undefined;
  PERCENT.lastIndex = at + minus + found[0].length;
  const percent = PERCENT.exec(text)?.[0] ?? '';
  const value = valueOfGroups(groups);
  const problem = minus > 0 ? belowZero(found[0]) : problemOf(groups, value);
  return {
    value: value ?? rational(0n),
    percent: percent !== '',
    length: minus + found[0].length + percent.length,
    ...(problem === undefined ? {} : { problem }),
  };
}

/**
 * Amounts as plain numbers: as written where all of them are decimals; with thirds and the like all
 * are counted out in whole parts, and `counted` says so.
 */
export function partsFrom(values: readonly Rational[]): {
  readonly parts: readonly number[];
  readonly counted: boolean;
} {
  if (values.every(isDecimal)) return { parts: values.map(numberFromRational), counted: false };
  const common = values.reduce((all, { den }) => lcm(all, den), 1n);
  return { parts: values.map(({ num, den }) => Number(num * (common / den))), counted: true };
}

/** Per cent of a whole mix may miss 100 by this much, as thirds and sevenths in whole numbers do. */
const ABOUT_100 = 2;

/** The sum of amounts in per cent, in words, where the sum is not about 100. */
export function percentSum(values: readonly Rational[]): string | undefined {
  const sum = numberFromRational(values.reduce(addRational, rational(0n)));
  return Math.abs(sum - 100) <= ABOUT_100 ? undefined : `${Number(sum.toPrecision(6))} %`;
}

function valueOfGroups(groups: Record<string, string | undefined>): Rational | undefined {
  const { whole = '0', num, den, before = '0', symbol, decimal } = groups;
  if (num !== undefined && den !== undefined) {
    if (BigInt(den) === 0n) return undefined;
    return addRational(rational(BigInt(whole)), rational(BigInt(num), BigInt(den)));
  }
  if (symbol !== undefined) {
    return addRational(rational(BigInt(before)), rational(...VULGAR[symbol]));
  }
  if (decimal === undefined || decimal.length > TOO_LONG) return undefined;
  const [units, tenths = ''] = decimal.split(/[.,]/);
  return rational(BigInt(`${units}${tenths}`), 10n ** BigInt(tenths.length));
}

function belowZero(amount: string): AmountProblem {
  return {
    says: 'is below 0',
    expected: 'an amount above 0',
    hint: `Write how much of this clay goes in, such as ${amount}, or leave the clay out.`,
  };
}

function problemOf(
  { decimal, den }: Record<string, string | undefined>,
  value: Rational | undefined,
): AmountProblem | undefined {
  if (decimal !== undefined && /^[1-9]\d{0,2},\d{3}$/.test(decimal)) {
    return {
      says: 'can be read in two ways',
      expected: 'an amount that reads one way only',
      hint: `Write ${decimal.replace(',', '.')} or ${decimal.replace(',', '')}.`,
    };
  }
  if (den !== undefined && value === undefined) {
    return {
      says: 'has 0 below the line',
      expected: 'a number above 0 below the line',
      hint: 'Write a fraction such as 1/2.',
    };
  }
  const { fewestParts, mostParts } = RECIPE_LIMITS;
  const size = value === undefined ? Number.NaN : numberFromRational(value);
  if (size >= fewestParts && size <= mostParts) return undefined;
  return {
    says: size === 0 ? 'is no amount' : 'is out of range',
    expected: `parts between ${fewestParts} and ${mostParts}`,
    hint: 'Give this clay an amount, or leave it out.',
  };
}

/** Whether a fraction ends as a decimal: only twos and fives below the line. */
function isDecimal({ den }: Rational): boolean {
  let left = den;
  while (left % 10n === 0n) left /= 10n;
  while (left % 2n === 0n) left /= 2n;
  while (left % 5n === 0n) left /= 5n;
  return left === 1n;
}
