/** Tukey's constant for 95 % efficiency, [Huber1981]. */
const TUKEY = 4.685;

/** Weight of a miss of so many deviations, 1 to 0: none for one that is far out. */
export function tukeyWeight(miss: number, spread: number): number {
  const u = miss / (TUKEY * spread);
  return Math.abs(u) < 1 ? (1 - u * u) ** 2 : 0;
}

/** The cost of a miss that goes with that weight; a miss that is far out costs no more than one just out. */
export function tukeyCost(miss: number, spread: number): number {
  const u = Math.min(1, Math.abs(miss / (TUKEY * spread)));
  return (TUKEY ** 2 / 3) * (1 - (1 - u * u) ** 3);
}
