import { digitsOf, type Money } from '../../../domain/money.ts';

/** Making one takes a slow machine as long as drawing a card. */
const formats = new Map<string, Intl.NumberFormat>();

function formatOf(currency: string): Intl.NumberFormat {
  const known = formats.get(currency);
  if (known !== undefined) return known;
  const made = new Intl.NumberFormat(undefined, { style: 'currency', currency });
  formats.set(currency, made);
  return made;
}

export function moneyInWords({ minor, currency }: Money): string {
  return formatOf(currency).format(minor / 10 ** digitsOf(currency));
}
