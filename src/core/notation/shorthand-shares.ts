import type { Basis, MixPart, MixPowder } from '../mixes/mix-graph.ts';
import {
  addRational,
  lcm,
  numberFromRational,
  type Rational,
  rational,
  timesRational,
} from '../numeric/rational.ts';
import { partsFrom, percentSum } from './amount.ts';
import { errorAt, ONE, type ReadTerm, type ShorthandError } from './shorthand-terms.ts';
import { RECIPE_LIMITS } from './terms.ts';

/** The parts and powders of one line. */
export interface LineAmounts {
  readonly parts: readonly MixPart[];
  readonly powders: readonly MixPowder[];
  readonly basis?: Basis;
}

/** Finer than any amount in whole parts or decimals; sums of finer fractions would take ever longer. */
const FINEST = 10n ** 40n;

/** Whether all amounts are whole numbers of one piece that is not too fine. */
function haveCommonMeasure(terms: readonly ReadTerm[]): boolean {
  let common = 1n;
  for (const { amount } of terms) {
    common = lcm(common, amount?.value.den ?? 1n);
    if (common > FINEST) return false;
  }
  return true;
}

/**
 * Parts and powder shares out of the terms of one line.
 * Shape:   terms; assumptions are added to `notes`, and what cannot be read to `errors`
 * Holds:   parts are as written where all are decimals, else whole; each clay is listed once
 */
export function shorthandAmounts(
  terms: readonly ReadTerm[],
  notes: string[],
  errors: ShorthandError[],
  raw: string,
): LineAmounts {
  const at = ({ column, length }: ReadTerm, message: string) =>
    errors.push(errorAt(raw, column - 1, column - 1 + length, message));
  if (!haveCommonMeasure(terms)) {
    at(terms[0], 'These amounts cannot be counted out in whole parts. Write rounder ones.');
    return { parts: [], powders: [] };
  }
  const clays = terms.filter(({ word }) => word.powder !== true);
  const powders = terms.filter(({ word }) => word.powder === true);
  const dust = new Map<string, Rational>();
  for (const term of powders) {
    if (term.amount?.percent !== true) {
      at(term, 'Powder counts by weight: write it in per cent of the mix.');
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
    if (known !== undefined)
      notes.push(`${word.word} is in the line twice; its parts are added up.`);
    sums.set(word.clay, known === undefined ? values[i] : addRational(known, values[i]));
  });
  const units = new Set(clays.map(({ unit }) => unit));
  const [basis] = units;
  if (units.size > 1) at(clays[0], 'Give every clay of the line the same unit, or none.');
  const { parts: scaled, counted } = partsFrom([...sums.values()]);
  if (counted) notes.push('Fractions are counted out in whole parts.');
  const { fewestParts, mostParts } = RECIPE_LIMITS;
  // An error of one amount is not reported again for the line.
  const reported = clays.some(({ amount }) => amount?.problem !== undefined);
  if (!reported && scaled.some((n) => n > mostParts || n < fewestParts)) {
    at(clays[0], `Parts must be between ${fewestParts} and ${mostParts}.`);
  }
  return {
    parts: [...sums.keys()].map((clay, i) => ({ clay, parts: scaled[i] })),
    powders: [...dust].map(([powder, share]) => ({ powder, share: numberFromRational(share) })),
    ...(basis === undefined ? {} : { basis }),
  };
}

/** Amounts of the clays. In per cent one of them may have no amount: that clay is the rest. */
function clayValues(
  clays: readonly ReadTerm[],
  notes: string[],
  at: (term: ReadTerm, message: string) => void,
): readonly Rational[] {
  const values = clays.map(({ amount }) => amount?.value ?? ONE);
  const percents = clays.filter(({ amount }) => amount?.percent === true);
  if (percents.length === 0) return values;
  const total = percents.map(({ amount }) => amount?.value ?? ONE).reduce(addRational);
  const others = clays.filter(({ amount }) => amount?.percent !== true);
  const hundred = rational(100n);
  if (others.length === 0) {
    const sum = percentSum(values);
    if (sum !== undefined) notes.push(`The clays add up to ${sum}, so they are read as parts.`);
    return values;
  }
  const rest = addRational(hundred, { num: -total.num, den: total.den });
  if (others.length === 1 && others[0].amount === undefined && rest.num > 0n) {
    notes.push(
      `${others[0].word.word} is read as the rest, ${Number(numberFromRational(rest).toPrecision(6))} %.`,
    );
    return values.map((value, i) => (clays[i] === others[0] ? rest : value));
  }
  at(
    others[0],
    'Some amounts are in per cent and this one is not. Write all in per cent, or none.',
  );
  return values;
}
