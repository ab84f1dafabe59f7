import type { Lab } from '../../core/colour/triples.ts';

/** One clay of a recipe and its parts. */
export interface PieceGroup {
  readonly id: string;
  readonly name: string;
  readonly lab: Lab | undefined;
  readonly parts: number;
  /** Parts before a change by hand: pieces past these are marked as added. */
  readonly was?: number | undefined;
  /** The clay in hand, which is outlined. */
  readonly isNow?: boolean;
  /** The weight of the parts, in words. */
  readonly amount?: string | undefined;
}

/** Parts in words: `3`, `½`, `0.16`. */
export function countInWords(parts: number): string {
  const whole = Math.floor(parts);
  const rest = parts - whole;
  const fraction = { 0.25: '¼', 0.5: '½', 0.75: '¾' }[rest];
  if (rest === 0) return String(whole);
  if (fraction !== undefined) return whole === 0 ? fraction : `${whole}${fraction}`;
  return String(Number(parts.toFixed(2)));
}

/** "5 Kelp + 2 Limpet" */
export function recipeInWords(
  parts: readonly { readonly clay: string; readonly parts: number }[],
): string {
  return parts.map(({ clay, parts: count }) => `${countInWords(count)} ${clay}`).join(' + ');
}
