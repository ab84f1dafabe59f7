/** How evenly pieces are cut, as a share of each, where nothing else is known; docs/formats.md. */
export const PARTS_SPREAD = { ofMix: 0.03, ofClay: 0 } as const;

/** Shares below this are weighed or cut less evenly than larger ones. */
const SMALL_SHARE = 0.02;
const LEAST_SHARE = 1e-4;

/**
 * Relative standard deviation of one part as it was measured out. The error of a small piece shrinks less
 * than the piece: by its root. Judgement, no source; without it, tints of 3 parts of paste in 1,000 are
 * taken for as sure as a 1:1 mix, and mixtures predicted from Lab readings of them are 1.99 off instead of 1.96
 * (bench/pastes.ts, 10 seeds; from spectra 1.66 and 1.65).
 */
export function spreadOfPart(partsSpread: number, share: number): number {
  return partsSpread * Math.sqrt(Math.max(1, SMALL_SHARE / Math.max(share, LEAST_SHARE)));
}
