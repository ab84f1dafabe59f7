import type { BlockUse } from '../core/figure/blocks-used.ts';

/** What is to be done about a block: bought, opened, or nothing. */
export function usesInWords({ onHandG, buy, lacksG, leftG, packageG }: BlockUse): string {
  const have = onHandG === undefined ? '' : `${wholeG(onHandG)} at hand, `;
  const left = leftG === undefined ? '' : `, ${wholeG(leftG)} left over`;
  if (lacksG === 0) return `${have}nothing to buy${left}`;
  if (buy === undefined) return `${have}${wholeG(lacksG)} to buy`;
  const packages = `${buy} ${buy === 1 ? 'package' : 'packages'}${packageG === undefined ? '' : ` of ${wholeG(packageG)}`}`;
  return `${have}buy ${packages}${left}`;
}

function wholeG(grams: number): string {
  return `${grams < 9.95 ? Number(grams.toFixed(1)) : Math.round(grams)} g`;
}
