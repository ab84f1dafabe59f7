/**
 * Share of the clay that is lost by kind of work, the middle of what is usual; of what cutters and canes leave,
 * most can be used again. Common practice, no source.
 */
export const WASTE_SHARES = {
  sculpting: 0.125,
  'cutters and canes': 0.325,
  none: 0,
} as const;
export type WasteKind = keyof typeof WASTE_SHARES;
export const WASTE_KINDS = Object.keys(WASTE_SHARES) as WasteKind[];

/** Of each colour, so that it can be matched again. Common practice, no source. */
export const USUAL_SPARE = 0.15;

/** Clay to mix, where a share of it is lost. */
export function withWaste(amount: number, share: number): number {
  return amount / (1 - share);
}
