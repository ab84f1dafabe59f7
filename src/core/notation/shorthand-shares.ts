import type { Basis, MixPart, MixPowder } from '../mixes/mix-graph.ts';
import {
  addRational,
  lcm,
  numberFromRational,
  type Rational,
  rational,
  timesRational,
} from '../numeric/rational.ts';
import { faultAt, ONE, type ReadTerm, type ShorthandFault } from './shorthand-terms.ts';
import { RECIPE_LIMITS } from './terms.ts';

/** What the terms of a line come to. */
export interface LineAmounts {
  readonly parts: readonly MixPart[];
  readonly powders: readonly MixPowder[];
  readonly basis?: Basis;
}

/**
 * Parts and powder shares out of the terms of one line.
 * Shape:   terms; what was taken for granted goes into `notes`, what cannot be into `faults`
 * Holds:   parts are as written where all are decimals, else whole; a clay stands once
 */
export function amountsOf(
  terms: readonly ReadTerm[],
  notes: string[],
  faults: ShorthandFault[],
  raw: string,
): LineAmounts {
  const at = ({ column, length }: ReadTerm, says: string) =>
    faults.push(faultAt(raw, column - 1, column - 1 + length, says));
  const clays = terms.filter(({ word }) => word.powder !== true);
  const powders = terms.filter(({ word }) => word.powder === true);
  const dust = new Map<string, Rational>();
  for (const term of powders) {
    if (term.amount?.percent !== true) {
      at(term, 'A powder goes by weight: write it in per cent of the mix.');
      continue;
    }
    const share = timesRational(term.amount.value, rational(1n, 100n));
    dust.set(term.word.clay, addRational(dust.get(term.word.clay) ?? rational(0n), share));
  }
  const dusty = [...dust.values()].reduce(addRational, rational(0n));
  if (dusty.num >= dusty.den) at(powders[0], 'The powders leave no room for clay.');

  const values = clayValues(clays, notes, at);
  const sums = new Map<string, Rational>();
  clays.forEach(({ word }, i) => {
    const known = sums.get(word.clay);
    if (known !== undefined) notes.push(`${word.word} stands twice; its parts are added up.`);
    sums.set(word.clay, known === undefined ? values[i] : addRational(known, values[i]));
  });
  const units = new Set(clays.map(({ unit }) => unit));
  const [basis] = units;
  if (units.size > 1) at(clays[0], 'Give every clay of a line the same measure, or none.');
  const scaled = asNumbers([...sums.values()], notes);
  const { fewestParts, mostParts } = RECIPE_LIMITS;
  // What is said of an amount itself is not said again of the line.
  const told = clays.some(({ amount }) => amount?.trouble !== undefined);
  if (!told && scaled.some((n) => n > mostParts || n < fewestParts)) {
    at(clays[0], `Parts lie between ${fewestParts} and ${mostParts}.`);
  }
  return {
    parts: [...sums.keys()].map((clay, i) => ({ clay, parts: scaled[i] })),
    powders: [...dust].map(([powder, share]) => ({ powder, share: numberFromRational(share) })),
    ...(basis === undefined ? {} : { basis }),
  };
}

/** Amounts of the clays. In per cent one of them may go without: it is the rest. */
function clayValues(
  clays: readonly ReadTerm[],
  notes: string[],
  at: (term: ReadTerm, says: string) => void,
): readonly Rational[] {
  const values = clays.map(({ amount }) => amount?.value ?? ONE);
  const percents = clays.filter(({ amount }) => amount?.percent === true);
  if (percents.length === 0) return values;
  const total = percents.map(({ amount }) => amount?.value ?? ONE).reduce(addRational);
  const others = clays.filter(({ amount }) => amount?.percent !== true);
  const hundred = rational(100n);
  if (others.length === 0) {
    const sum = numberFromRational(total);
    if (sum !== 100)
      notes.push(`The clays add up to ${Number(sum.toPrecision(6))} %, and are taken as parts.`);
    return values;
  }
  const rest = addRational(hundred, { num: -total.num, den: total.den });
  if (others.length === 1 && others[0].amount === undefined && rest.num > 0n) {
    notes.push(
      `${others[0].word.word} is taken for the rest, ${Number(numberFromRational(rest).toPrecision(6))} %.`,
    );
    return values.map((value, i) => (clays[i] === others[0] ? rest : value));
  }
  at(others[0], 'Some amounts are in per cent and this one is not.');
  return values;
}

/** As written where all are decimals; thirds and the like make whole parts of all. */
function asNumbers(values: readonly Rational[], notes: string[]): readonly number[] {
  if (values.every(isDecimal)) return values.map(numberFromRational);
  const common = values.reduce((all, { den }) => lcm(all, den), 1n);
  notes.push('Fractions are counted out in whole parts.');
  return values.map(({ num, den }) => Number(num * (common / den)));
}

/** Whether a fraction ends as a decimal: nothing but twos and fives below the line. */
function isDecimal({ den }: Rational): boolean {
  let left = den;
  while (left % 10n === 0n) left /= 10n;
  while (left % 2n === 0n) left /= 2n;
  while (left % 5n === 0n) left /= 5n;
  return left === 1n;
}
