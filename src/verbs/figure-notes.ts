import { type MixingBatch, PRE_MIX, SMALLEST_PIECE_CM3 } from '../core/figure/batches.ts';
import type { BlockUse } from '../core/figure/blocks-used.ts';
import { inARow } from '../core/in-a-row.ts';
import { USUAL_DENSITY } from '../core/mixes/mix-graph.ts';
import type { Palette } from './figure-palette.ts';
import type { FigureQuestion } from './figure-question.ts';
import { currenciesOf, someOf } from './prices-known.ts';

/** Fewest pieces of the strongest part of a batch. Common practice, no source. */
export const FEWEST_OF_STRONGEST = 4;

interface Noted {
  readonly blocks: readonly BlockUse[];
  readonly batches: readonly MixingBatch[];
  readonly palette: Palette;
  readonly question: FigureQuestion;
  readonly spare: number;
}

/** What the user must know about the plan: what was taken, what is not known, what is hard to cut. */
export function notesOf({ blocks, batches, palette, question, spare }: Noted): string[] {
  const { value, low, high } = USUAL_DENSITY;
  const light = blocks.filter(({ clay }) => !palette.isWeighed(clay)).map(({ clay }) => clay);
  const uncounted = blocks.filter(({ onHandG }) => onHandG === undefined).map(({ clay }) => clay);
  const currencies = currenciesOf(question.stock ?? []);
  const priceless = blocks
    .filter(({ usedMinor }) => usedMinor === undefined)
    .map(({ clay }) => clay);
  const refused = blocks.flatMap(({ clay, lacksG }) => {
    const buying = palette.rowOf(clay)?.buying;
    return lacksG > 0 && buying?.choice === 'never' ? [{ clay, why: buying.why }] : [];
  });
  const few = batches.filter(
    ({ kind, parts, strongest }) =>
      kind === 'colour' &&
      parts.length > 1 &&
      (parts.find(({ of }) => of === strongest)?.pieces ?? 0) < FEWEST_OF_STRONGEST &&
      strongest !== PRE_MIX,
  );
  const tiny = batches.some(({ pieceCm3: cm3 }) => cm3 < SMALLEST_PIECE_CM3);
  return [
    ...(light.length === 0
      ? []
      : [
          `The density of ${someOf(light)} is not known: ${value} g/cm3 is taken, and it may be ${low} to ${high}. Grams may be off by as much; pieces are not.`,
        ]),
    ...(currencies.length > 1
      ? [
          `Prices are in ${inARow(currencies)}, which cannot be added up, so there is no cost. Enter all prices in one currency.`,
        ]
      : priceless.length > 0
        ? [`There is no price for ${someOf(priceless)}, so the cost is not complete.`]
        : []),
    ...(paidOtherwise(question.hourlyCurrency, currencies)
      ? [
          `Your hours are in ${question.hourlyCurrency} and the clay in ${currencies[0]}, so the cost has the clay alone.`,
        ]
      : []),
    ...(uncounted.length === 0
      ? []
      : [`Nobody counted how much you have of ${someOf(uncounted)}: all of it is on the list.`]),
    ...refused.map(({ clay, why }) => {
      const because = why === undefined ? '' : ` (${why})`;
      return `You do not buy ${clay} again${because}, and what you have of it is too little for this plan: change the recipe, or use up less.`;
    }),
    ...few.map(
      ({ colour, strongest, parts }) =>
        `${colour} has only ${parts.find(({ of }) => of === strongest)?.pieces ?? 0} ${strongest}, its strongest part: cut it with care, or use a smaller cutter.`,
    ),
    ...(tiny
      ? ['Some pieces are smaller than can be cut well. Weigh them, or mix more at once.']
      : []),
    ...(spare > 0
      ? [
          `Each colour has ${Math.round(100 * spare)} % to spare. Save a raw and a baked piece of it.`,
        ]
      : ['No colour has clay to spare, so none can be matched again later.']),
  ];
}

/** Whether work is paid in a currency that no clay is bought in. */
export function paidOtherwise(hourly: string | undefined, currencies: readonly string[]): boolean {
  return hourly !== undefined && currencies.length === 1 && !currencies.includes(hourly);
}
