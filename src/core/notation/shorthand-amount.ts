import { addRational, numberFromRational, type Rational, rational } from '../numeric/rational.ts';
import { RECIPE_LIMITS } from './terms.ts';

export interface AmountRead {
  readonly value: Rational;
  readonly percent: boolean;
  /** Characters of the line it takes. */
  readonly length: number;
  /** What is wrong with it, in words; absent where nothing is. */
  readonly trouble?: string;
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
  '⅛': [1n, 8n],
  '⅜': [3n, 8n],
  '⅝': [5n, 8n],
  '⅞': [7n, 8n],
};
const SIGNS = Object.keys(VULGAR).join('');
const AMOUNT = new RegExp(
  `(?:(?<whole>\\d{1,9})[ \\t]+)?(?<num>\\d{1,9})[/⁄](?<den>\\d{1,9})|(?<before>\\d{1,9})?[ \\t]*(?<sign>[${SIGNS}])|(?<decimal>\\d+(?:[.,]\\d+)?|[.,]\\d+)`,
  'uy',
);
const PERCENT = /[ \t]*%/y;

/**
 * An amount at a place of a line: 3, 0.5, 0,5, .5, 1/2, 1 1/2, ½, 1½, 30 %.
 * Holds: the value is exact, thirds too; what reads two ways or is out of range has its trouble said
 */
export function amountAt(line: string, at: number): AmountRead | undefined {
  AMOUNT.lastIndex = at;
  const found = AMOUNT.exec(line);
  const groups = found?.groups;
  if (found === null || groups === undefined) return undefined;
  PERCENT.lastIndex = at + found[0].length;
  const sign = PERCENT.exec(line)?.[0] ?? '';
  const value = valueOfGroups(groups);
  const trouble = troubleOf(groups.decimal, value);
  return {
    value: value ?? rational(0n),
    percent: sign !== '',
    length: found[0].length + sign.length,
    ...(trouble === undefined ? {} : { trouble }),
  };
}

function valueOfGroups(groups: Record<string, string | undefined>): Rational | undefined {
  const { whole = '0', num, den, before = '0', sign, decimal } = groups;
  if (num !== undefined && den !== undefined) {
    if (BigInt(den) === 0n) return undefined;
    return addRational(rational(BigInt(whole)), rational(BigInt(num), BigInt(den)));
  }
  if (sign !== undefined) {
    return addRational(rational(BigInt(before)), rational(...VULGAR[sign]));
  }
  if (decimal === undefined || decimal.length > 30) return undefined;
  const [units, tenths = ''] = decimal.split(/[.,]/);
  return rational(BigInt(`${units}${tenths}`), 10n ** BigInt(tenths.length));
}

function troubleOf(decimal: string | undefined, value: Rational | undefined): string | undefined {
  if (decimal !== undefined && /^[1-9]\d{0,2},\d{3}$/.test(decimal)) {
    return `reads two ways: write ${decimal.replace(',', '.')} or ${decimal.replace(',', '')}`;
  }
  const { fewestParts, mostParts } = RECIPE_LIMITS;
  const size = value === undefined ? 0 : numberFromRational(value);
  if (value !== undefined && size === 0)
    return 'is no amount: give that clay a part, or leave it out';
  return size >= fewestParts && size <= mostParts
    ? undefined
    : `is no amount between ${fewestParts} and ${mostParts}`;
}
