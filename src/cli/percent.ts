/** A share as per cent: "12 %", and one decimal below ten. */
export function percent(share: number): string {
  const value = 100 * share;
  return `${Math.abs(value) < 10 ? Number(value.toFixed(1)) : Math.round(value)} %`;
}
