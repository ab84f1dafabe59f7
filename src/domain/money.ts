export interface Money {
  readonly minor: number;
  readonly currency: string;
}

/** Looking one up takes a slow machine as long as drawing a card. */
const digits = new Map<string, number>();

/** Minor units a currency has to one of the major, as powers of ten. Source: ISO 4217, as the runtime knows it. */
export function digitsOf(currency: string): number {
  const known = digits.get(currency);
  if (known !== undefined) return known;
  const format = new Intl.NumberFormat('en', { style: 'currency', currency });
  const found = format.resolvedOptions().maximumFractionDigits ?? HUNDREDTHS;
  digits.set(currency, found);
  return found;
}

/** Of prices without a currency, such as those of a file. */
const HUNDREDTHS = 2;

/** "4.10" in whole minor units; undefined where it is no price. A comma is a point. */
export function moneyFrom(text: string, currency: string): Money | undefined {
  if (!/^\d{1,9}(?:[.,]\d{1,3})?$/.test(text.trim())) return undefined;
  const value = Number(text.trim().replace(',', '.'));
  return { minor: Math.round(value * 10 ** digitsOf(currency)), currency };
}

/** As it is typed again, without its currency. */
export function plainMoney({
  minor,
  currency,
}: {
  readonly minor: number;
  readonly currency?: string | undefined;
}): string {
  const places = currency === undefined ? HUNDREDTHS : digitsOf(currency);
  return (minor / 10 ** places).toFixed(places);
}
