/** Making one takes a slow machine as long as drawing a card. */
const formats = new Map<string, Intl.NumberFormat>();

function formatOf(currency: string): Intl.NumberFormat {
  const known = formats.get(currency);
  if (known !== undefined) return known;
  const made = new Intl.NumberFormat(undefined, { style: 'currency', currency });
  formats.set(currency, made);
  return made;
}

/** Minor units a currency has to one of the major. Source: ISO 4217, as the browser knows it. */
function digitsOf(currency: string): number {
  return formatOf(currency).resolvedOptions().maximumFractionDigits ?? 2;
}

export interface Money {
  readonly minor: number;
  readonly currency: string;
}

/** "4.10" in whole minor units; undefined where it is no price. A comma is a point. */
export function moneyFrom(text: string, currency: string): Money | undefined {
  if (!/^\d{1,9}(?:[.,]\d{1,3})?$/.test(text.trim())) return undefined;
  const value = Number(text.trim().replace(',', '.'));
  return { minor: Math.round(value * 10 ** digitsOf(currency)), currency };
}

export function moneyInWords({ minor, currency }: Money): string {
  return formatOf(currency).format(minor / 10 ** digitsOf(currency));
}

/** As it is typed again. */
export function plainMoney({ minor, currency }: Money): string {
  const digits = digitsOf(currency);
  return (minor / 10 ** digits).toFixed(digits);
}
