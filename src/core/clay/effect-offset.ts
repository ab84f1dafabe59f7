/** Clays whose colour is more than body colour: flakes that mirror, grains, dyes that glow. */
export const EFFECTS = ['pearl', 'metallic', 'glitter', 'fluorescent'] as const;
export type Effect = (typeof EFFECTS)[number];

export interface EffectWidth {
  /** How far the clay alone may be from what absorption and scattering give, per CIELAB axis. */
  readonly departure: number;
  /**
   * How much one tile of it differs from the next, per CIELAB axis, because flakes turn as the clay
   * is handled.
   */
  readonly scatter: number;
}

/**
 * How far such clays may depart from Kubelka-Munk before their tiles are read; a mix departs in
 * proportion to its share. Common practice says only that such clays predict badly. The widths are
 * judgement, no source, and wide on purpose.
 */
export const EFFECT_WIDTH: Readonly<Record<Effect, EffectWidth>> = {
  pearl: { departure: 6, scatter: 1.5 },
  metallic: { departure: 9, scatter: 2.5 },
  glitter: { departure: 9, scatter: 3 },
  fluorescent: { departure: 12, scatter: 3 },
};
