/** How a specimen came out, from best to worst. */
export const RESULTS = ['no mark', 'fades', 'stays', 'crack', 'break'] as const;
export type BendResult = (typeof RESULTS)[number];

/** What counts as holding: whitening that fades in thin parts, also whitening that stays in thick ones. */
export const HOLDS_UP_TO = { thin: 1, thick: 2 } as const;
export type PartBulk = keyof typeof HOLDS_UP_TO;

/** Parts over this thickness are stiff: a published account of strips by thickness. mm */
export const THICK_MM = 4;

/** One result as the model takes it. */
export interface BendResultRow {
  /** Share of the strong line, 0-1. */
  readonly share: number;
  /** Share of translucent clay, and of powder, 0-1. */
  readonly translucent: number;
  readonly powder: number;
  readonly strain: number;
  /** A pinch: how hard is unknown, and the same for all pinches. */
  readonly rankOnly: boolean;
  /** Place in `RESULTS`. */
  readonly grade: number;
  /** Specimens of one bake share its luck. */
  readonly batch: string;
}

export interface BlendAsked {
  readonly translucent: number;
  readonly powder: number;
}
