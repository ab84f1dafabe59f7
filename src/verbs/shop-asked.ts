import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import { planOfClays } from '../core/find/find-plan.ts';
import { specialEffectOf } from '../core/find/flat-clays.ts';
import { clayIndex, clayName, type KnownClays } from '../core/find/known-clays.ts';
import { predictViewed } from '../core/find/predicted-mix.ts';
import { USUAL_DENSITY } from '../core/mixes/mix-graph.ts';
import { pairs } from '../core/numeric/pairs.ts';
import type { BuyingListQuestion } from './buying-list-question.ts';
import { pricesKnown, someOf } from './prices-known.ts';

/** Where the weight of a package is not known. Common practice, no source. */
const USUAL_PACKAGE_G = 56;

/** The blocks of the question, what each costs, and what had to be taken. */
export function shopFor(clays: KnownClays, question: BuyingListQuestion) {
  const { tolerance, mostClays, parts, stock = [], goal } = question;
  const plan = planOfClays(clays, {
    tolerance,
    mostClays,
    parts,
    rules: { effects: true },
    stock,
    ...(question.basis === undefined ? {} : { basis: question.basis }),
  });
  const never = new Set((question.never ?? []).map((name) => clayIndex(clays, name)));
  const closedLines = new Set((question.neverLines ?? []).map((name) => name.toLowerCase()));
  const list = [...plan.options.clays];
  const rows = list.map((clay) => plan.stock.get(clay));
  const prices = pricesKnown(
    pairs(list, rows).map(([clay, row]) => ({ name: clayName(clays, clay), row })),
    stock,
  );
  const middle = prices.middlePerG;
  const isPriced = middle !== undefined;
  const weightless: string[] = [];
  const light: string[] = [];
  const blocks = list.map((clay, at) => {
    const row = rows[at];
    const name = clayName(clays, clay);
    const packageG = row?.packageG ?? USUAL_PACKAGE_G;
    if (row?.packageG === undefined) weightless.push(name);
    if (row?.density === undefined) light.push(name);
    const priceMinor = Math.round((row?.priceMinorPerG ?? middle ?? 0) * packageG);
    return {
      clay,
      name,
      lab: predictViewed(clays.predictor, [{ clay, share: 1 }], HOUSE_VIEWING).lab,
      effect: specialEffectOf(clays, clay, row),
      line: row?.line ?? '',
      density: row?.density ?? USUAL_DENSITY.value,
      packageG,
      priceMinor,
      onHandG: row?.onHandG ?? 0,
      cost: isPriced && goal === 'cheapest' ? priceMinor : 1,
      isClosed:
        never.has(clay) ||
        row?.buying?.choice === 'never' ||
        closedLines.has((row?.line ?? '').toLowerCase()),
    };
  });
  const notes = [
    ...prices.notes('the list has the fewest packages'),
    ...(question.budgetMinor === undefined || isPriced
      ? []
      : ['The budget is left aside, because what the packages cost is not known.']),
    ...(question.mostLines === undefined || blocks.some(({ line }) => line !== '')
      ? []
      : ['The number of lines is left aside, because no line of a block is known.']),
    ...(weightless.length === 0
      ? []
      : [
          `The weight of a package is not known for ${someOf(weightless)}: ${USUAL_PACKAGE_G} g is taken.`,
        ]),
    ...(light.length === 0 || (plan.basis === 'weight' && clays.basis === 'weight')
      ? []
      : [
          `The density is not known for ${someOf(light)}: ${USUAL_DENSITY.value} g/cm3 is taken, so grams may be off.`,
        ]),
  ];
  return {
    plan,
    list,
    blocks,
    isPriced,
    notes,
    ...(prices.currency === undefined ? {} : { currency: prices.currency }),
  };
}
export type Shop = ReturnType<typeof shopFor>;
