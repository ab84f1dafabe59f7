import type {
  BoughtBlock,
  BuyOrMixAnswer,
  MixedBlock,
  PilesPoint,
} from '../../../verbs/buy-or-mix-question.ts';

/** A mixed block, before its chance is known too. */
export type MixedSoFar = Omit<MixedBlock, 'chance'> & Partial<Pick<MixedBlock, 'chance'>>;

/** Two piles, before reasons and chances are known too. */
export type PilesSoFar = Omit<BuyOrMixAnswer, 'buy' | 'mix' | 'frontier'> & {
  readonly buy: readonly (Omit<BoughtBlock, 'why'> & Partial<Pick<BoughtBlock, 'why'>>)[];
  readonly mix: readonly MixedSoFar[];
};

/** The piles at another closeness, as far as the answer for one closeness has them. */
export function pilesAt(
  { buy, mix, goal, notes }: BuyOrMixAnswer,
  { from, proven, ...point }: PilesPoint,
): PilesSoFar {
  const labs = new Map([
    ...buy.map(({ clay, shown }) => [clay, shown] as const),
    ...mix.map(({ clay, wantedShown }) => [clay, wantedShown] as const),
  ]);
  return {
    tolerance: from,
    goal,
    proven,
    notes,
    neither: [],
    buy: point.buy.flatMap((clay) => {
      const shown = labs.get(clay);
      return shown === undefined ? [] : [{ clay, shown, instead: [] }];
    }),
    mix: point.mix.flatMap((one) => {
      const wantedShown = labs.get(one.clay);
      return wantedShown === undefined ? [] : [{ ...one, wantedShown, bakeFirst: false }];
    }),
  };
}
