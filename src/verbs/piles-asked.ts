import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import { AppError } from '../core/errors.ts';
import { planOfClays } from '../core/find/find-plan.ts';
import { specialEffectOf } from '../core/find/flat-clays.ts';
import { clayIndex, clayName, type KnownClays } from '../core/find/known-clays.ts';
import { predictViewed } from '../core/find/predicted-mix.ts';
import { clayKey } from '../core/notation/notation.ts';
import type { BlockTerms } from '../core/piles/smallest-set.ts';
import type { BuyOrMixQuestion } from './buy-or-mix-question.ts';
import { pricesKnown } from './prices-known.ts';

/** The clays of the question, their colours, and what buying each costs. */
export function readyFor(clays: KnownClays, question: BuyOrMixQuestion) {
  const { lines, tolerance, mostClays, parts, stock } = question;
  const index = (of: readonly string[] | undefined) =>
    new Set((of ?? []).map((name) => clayIndex(clays, name)));
  const [always, never] = [index(question.always), index(question.never)];
  const both = [...always].find((clay) => never.has(clay));
  if (both !== undefined) throw bothPinned(clayName(clays, both));
  const plan = planOfClays(clays, {
    tolerance,
    mostClays,
    parts,
    rules: { effects: true, ...(lines === undefined ? {} : { lines }) },
    ...(stock === undefined ? {} : { stock }),
    ...(question.basis === undefined ? {} : { basis: question.basis }),
  });
  const list = [...new Set([...plan.options.clays, ...always])].sort((a, b) => a - b);
  if (list.length < 2) throw tooFew(list.length);
  const prices = pricesKnown(
    list.map((clay) => ({ name: clayName(clays, clay), row: plan.stock.get(clay) })),
    stock ?? [],
  );
  const { middlePerG } = prices;
  const isCheapest = question.goal === 'cheapest' && middlePerG !== undefined;
  const priceOfBlock = (clay: number) =>
    Math.round(100 * (plan.stock.get(clay)?.priceMinorPerG ?? middlePerG ?? 0));
  const termsOf = (clay: number): BlockTerms => ({
    cost: isCheapest ? priceOfBlock(clay) : 1,
    ...pinnedTo(
      always.has(clay)
        ? 'always'
        : never.has(clay)
          ? 'never'
          : plan.stock.get(clay)?.buying?.choice,
    ),
  });
  const blocks = list.map((clay) => ({
    clay,
    name: clayName(clays, clay),
    lab: predictViewed(clays.predictor, [{ clay, share: 1 }], HOUSE_VIEWING).lab,
    effect: specialEffectOf(clays, clay, plan.stock.get(clay)),
    term: termsOf(clay),
  }));
  return {
    plan,
    blocks,
    list,
    isPriced: middlePerG !== undefined,
    goal: isCheapest ? ('cheapest' as const) : ('fewest' as const),
    notes: question.goal === 'cheapest' ? prices.notes('the piles have the fewest blocks') : [],
    terms: blocks.map(({ term }) => term),
    labs: blocks.map(({ lab }) => lab),
    effects: blocks.map(({ effect }) => effect),
  };
}

/** Saved mixes by the places of their clays; one with a clay that is not looked at cannot count. */
export function savedMixes(
  clays: KnownClays,
  { list, plan }: ReturnType<typeof readyFor>,
  { goodEnough }: BuyOrMixQuestion,
) {
  const placeOf = (name: string) => {
    const index = clays.indexOf.get(clayKey(name));
    return index === undefined ? -1 : list.indexOf(index);
  };
  return goodEnough.flatMap(({ clay, recipe }) => {
    const block = placeOf(clay);
    const parts = recipe
      .map((term) => ({ place: placeOf(term.clay), parts: term.parts }))
      .sort((one, other) => one.place - other.place);
    const places = new Set(parts.map(({ place }) => place));
    if (block < 0 || places.has(-1) || places.has(block) || places.size < parts.length) return [];
    const amounts = parts.map(({ place, parts: n }) => ({
      clay: list[place] ?? 0,
      amount: n * (plan.amounts?.[list[place] ?? 0] ?? 1),
    }));
    const total = amounts.reduce((sum, { amount }) => sum + amount, 0);
    const shares = amounts.map(({ clay: of, amount }) => ({ clay: of, share: amount / total }));
    const { lab } = predictViewed(clays.predictor, shares, HOUSE_VIEWING);
    return [
      {
        block,
        clays: parts.map(({ place }) => place),
        counts: parts.map(({ parts: n }) => n),
        lab,
      },
    ];
  });
}

function pinnedTo(pinned: BlockTerms['pinned']): Pick<BlockTerms, 'pinned'> {
  return pinned === undefined ? {} : { pinned };
}

function bothPinned(name: string): AppError {
  return new AppError({
    code: 'rules-contradict',
    kind: 'bad-input',
    detail: `${name} is named as always bought and as never bought.`,
    hint: 'Name the block in one of the two.',
  });
}

function tooFew(count: number): AppError {
  return new AppError({
    code: 'too-few-clays',
    kind: 'bad-input',
    detail: `There ${count === 1 ? 'is 1 clay' : `are ${count} clays`} to choose from, and two piles need at least 2.`,
    hint: 'Name more lines, or learn more clays.',
  });
}

export function nothingChosen(): AppError {
  return new AppError({
    code: 'work-stopped',
    kind: 'unavailable',
    detail: 'The work was stopped before blocks were chosen.',
    hint: 'Ask for it again.',
    retry: true,
  });
}
