import { EFFECTS } from '../clay/effect-offset.ts';
import { inARow } from '../in-a-row.ts';
import type { KnownClays, StockRow } from './known-clays.ts';

/** What a clay does besides having a colour. */
export const CLAY_EFFECTS = [...EFFECTS, 'translucent'] as const;
export type SpecialEffect = (typeof CLAY_EFFECTS)[number];

/**
 * What a clay does besides having a colour: as the stock says, else as its tiles say.
 * Returns: undefined for a flat clay
 */
export function specialEffectOf(
  { predictor }: Pick<KnownClays, 'predictor'>,
  clay: number,
  row: StockRow | undefined,
): SpecialEffect | undefined {
  if (row?.clayType !== undefined) return CLAY_EFFECTS.find((effect) => effect === row.clayType);
  const { effect, clayClass } = predictor.model.clays[clay];
  if (effect !== undefined) return effect.effect;
  return clayClass === 'translucent' ? 'translucent' : undefined;
}

/** What a mix of such clays will do, in words: "this will shimmer". */
export function effectInWords(effects: readonly SpecialEffect[]): string {
  const does = new Set(
    effects.map((effect) => {
      if (effect === 'translucent') return 'let light through';
      if (effect === 'fluorescent') return 'glow';
      return effect === 'glitter' ? 'glitter' : 'shimmer';
    }),
  );
  return does.size === 0 ? '' : `this will ${inARow([...does])}`;
}
