import { z } from 'zod';
import { deltaE2000 } from '../core/colour/difference.ts';
import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import { colourWeights } from '../core/colour/weights.ts';
import { AppError } from '../core/errors.ts';
import { priceOf } from '../core/find/find-answer.ts';
import { type FindPlan, planOf } from '../core/find/find-plan.ts';
import { effectInWords, specialEffectOf } from '../core/find/flat-clays.ts';
import { clayIndex, clayName, type KnownClays, recipeOf } from '../core/find/known-clays.ts';
import { predictViewed } from '../core/find/predicted-mix.ts';
import { limitedTo, type WorkSteps } from '../core/find/work-steps.ts';
import type { WholeParts } from '../core/mixes/whole-parts.ts';
import { clayKey, formatRecipe } from '../core/notation/notation.ts';
import { pairs } from '../core/numeric/pairs.ts';
import { chancesOfPiles } from '../core/piles/pile-chances.ts';
import { exchangeable, findingPiles, type Piles } from '../core/piles/piles.ts';
import { type Support, startReach, withSavedMixes } from '../core/piles/reach.ts';
import { MOST_CLAYS_TOGETHER } from '../core/piles/recipe-walk.ts';
import type { BlockTerms } from '../core/piles/smallest-set.ts';
import { whyBought } from '../core/piles/why-bought.ts';
import { startSearch } from '../core/search/search.ts';
import { verdictLimit } from '../core/verdict/verdict.ts';
import { labAnswer, recipeAnswer } from './answer-parts.ts';
import { findQuestion, findRules } from './find-question.ts';
import { pricesKnown } from './prices-known.ts';
import { basis, names, recipeSchema } from './question-parts.ts';
import { verb, words } from './verb.ts';

/** Fewest blocks, or least money for so many grams of each block bought. */
const GOALS = ['fewest', 'cheapest'] as const;
/** Recipes of a block of which the likeliest is taken. */
const LOOKED_AT = 4;
/** Below this chance a recipe should be baked before the block is left in the shop. */
const SURE_ENOUGH = 0.5;
/** Clays of a recipe that is looked for where three are too few. */
const MORE_CLAYS = 4;
/** Steps of the search for one recipe of more clays at most. */
const MORE_CLAYS_STEPS = 50_000;
const [SAME, FAMILY] = [verdictLimit('same'), verdictLimit('family')];

const pinned = (option: string, help: string) =>
  names.exactOptional().meta(words({ option, value: '"A, B"', help }));

export const buyOrMixQuestion = z.strictObject({
  lines: findRules.shape.lines,
  tolerance: findQuestion.shape.tolerance,
  mostClays: z
    .int()
    .min(1)
    .max(MOST_CLAYS_TOGETHER)
    .default(MOST_CLAYS_TOGETHER)
    .meta(
      words({
        option: 'clays',
        value: 'N',
        help: 'most different clays in one recipe',
      }),
    ),
  parts: findQuestion.shape.parts,
  always: pinned('always', 'blocks that you buy whatever else holds, also of other lines'),
  never: pinned('never', 'blocks that you do not buy'),
  goal: z
    .enum(GOALS)
    .default(GOALS[0])
    .meta(
      words({
        option: 'goal',
        value: 'GOAL',
        help: 'the fewest blocks, or the cheapest by the prices of the stock',
      }),
    ),
  grams: z
    .number()
    .positive()
    .max(100_000)
    .exactOptional()
    .meta(
      words({
        option: 'grams',
        value: 'GRAMS',
        help: 'grams of each colour that you use in a season, to say what mixing saves',
      }),
    ),
  frontier: z
    .boolean()
    .exactOptional()
    .meta(
      words({
        option: 'frontier',
        help: 'also the piles at every other tolerance, from the same colour to the same family',
      }),
    ),
  /** Mixes saved as good enough for a block, however far off they are. */
  goodEnough: z
    .array(z.strictObject({ clay: z.string().min(1).max(400), recipe: recipeSchema }).readonly())
    .max(300)
    .readonly()
    .default([]),
  stock: findQuestion.shape.stock,
  basis,
});
export type BuyOrMixQuestion = z.output<typeof buyOrMixQuestion>;

const mixed = z.object({
  clay: z.string(),
  recipe: recipeAnswer,
  lab: labAnswer,
  /** D50 and 2 degrees, for showing them. */
  wantedShown: labAnswer,
  dE00: z.number(),
  /** Chance of coming within the tolerance, both colours as uncertain as they are. */
  chance: z.number(),
  /** Whether a tile should be baked before the block is left in the shop. */
  bakeFirst: z.boolean(),
  /** The user saved this mix as good enough for the block. */
  isSaved: z.literal(true).exactOptional(),
  /** Minor units of money, of the recipe and of the block. */
  costPer100g: z.number().exactOptional(),
  blockPer100g: z.number().exactOptional(),
});
export type MixedBlock = z.output<typeof mixed>;

const bought = z.object({
  clay: z.string(),
  shown: labAnswer,
  why: z.object({
    kind: z.enum(['always', 'too-far', 'more-clays', 'effect', 'used', 'no-other']),
    /** A few words, for beside the block and its closest mix. */
    short: z.string(),
    sentence: z.string(),
  }),
  /** Colour of the closest mix of the other blocks; D50 and 2 degrees. */
  closest: labAnswer.exactOptional(),
  /** Blocks that could be bought in its place. */
  instead: z.array(z.string()),
});
export type BoughtBlock = z.output<typeof bought>;

const point = z.object({
  /** The largest difference of a mixed block; these piles hold from this tolerance on. */
  from: z.number(),
  buy: z.array(z.string()),
  mix: z.array(
    z.object({ clay: z.string(), recipe: recipeAnswer, lab: labAnswer, dE00: z.number() }),
  ),
  proven: z.boolean(),
});
export type PilesPoint = z.output<typeof point>;

const buyOrMixAnswer = z.object({
  tolerance: z.number(),
  buy: z.array(bought),
  mix: z.array(mixed),
  /** Blocks that you do not buy and that the others do not give. */
  neither: z.array(z.object({ clay: z.string(), sentence: z.string() })),
  /** What the piles are best at: the cheapest where that was asked for and prices allow it. */
  goal: z.enum(GOALS),
  /** Whether no smaller or cheaper set of blocks exists. */
  proven: z.boolean(),
  /** Minor units of money in a season, where every price is known and grams were named. */
  saves: z.number().exactOptional(),
  frontier: z.array(point),
  /** What is not known, and what was done instead. */
  notes: z.array(z.string()),
});
export type BuyOrMixAnswer = z.output<typeof buyOrMixAnswer>;

/**
 * Two piles: the smallest or cheapest set of blocks from which all the others can be mixed, jointly.
 * Refuses: fewer than two clays -> too-few-clays; a clay that is both always and never bought -> rules-contradict;
 *          as `find` does for names, lines and basis
 * Holds:   where no price is known, or prices are of two currencies, the piles have the fewest blocks, and a note
 *          says so
 */
export const buyOrMix = verb({
  name: 'buy-or-mix',
  asks: 'Which blocks must I buy, and which can I mix?',
  question: buyOrMixQuestion,
  answer: buyOrMixAnswer,
  endsEarly: true,
  *run(clays: KnownClays, question: BuyOrMixQuestion): WorkSteps<BuyOrMixAnswer> {
    const ready = readyFor(clays, question);
    const { blocks, list, labs, effects, terms, plan, isPriced } = ready;
    const { tolerance, mostClays, parts } = question;
    const widest = question.frontier === true ? Math.max(tolerance, FAMILY) : tolerance;
    const run = startReach(clays.predictor, {
      clays: list,
      labs,
      mostClays,
      parts,
      within: widest,
      mayServe: (block, set) =>
        set.every((clay) => effects[clay] === undefined || effects[clay] === effects[block]) &&
        (effects[block] === undefined || set.some((clay) => effects[clay] === effects[block])),
      ...(plan.amounts === undefined ? {} : { amounts: plan.amounts }),
    });
    const found = yield* findingPiles(withSavedMixes(run, savedMixes(clays, ready, question)), {
      terms,
      tolerance: widest,
      ...(question.frontier === true ? { downTo: Math.min(SAME, tolerance) } : {}),
    });
    const piles = found.frontier.find(({ from }) => from <= tolerance);
    if (piles === undefined) throw nothingChosen();
    const chanceOf = chancesOfPiles(clays.predictor, tolerance);
    const partsOf = ({ clays: at, counts }: Support): WholeParts =>
      pairs(at, counts).flatMap(([place, parts]) =>
        blocks.slice(place, place + 1).map(({ clay }) => ({ clay, parts })),
      );
    const nameOf = (place: number) => blocks[place]?.name ?? '';
    const recipeIn = (support: Support) => recipeOf(clays, partsOf(support));
    const inWords = (support: Support) => formatRecipe(recipeIn(support));
    const isMixed = (block: number, { held, unmakeable }: Piles) =>
      held[block] === 0 && !unmakeable.includes(block);

    const usedBy = new Map<number, number>();
    const mix = blocks.flatMap(({ clay, name, lab }, block): MixedBlock[] => {
      if (!isMixed(block, piles)) return [];
      const [best] = found.makeable
        .all(block, piles.held, tolerance)
        .slice(0, LOOKED_AT)
        .map((support) => ({ support, chance: chanceOf(clay, partsOf(support)) }))
        .sort(
          (one, other) =>
            Number(other.support.isSaved ?? false) - Number(one.support.isSaved ?? false) ||
            other.chance - one.chance,
        );
      if (best === undefined) return [];
      const { support, chance } = best;
      for (const place of support.clays) usedBy.set(place, (usedBy.get(place) ?? 0) + 1);
      const cost = isPriced ? per100g(plan, partsOf(support)) : undefined;
      const own = isPriced ? per100g(plan, [{ clay, parts: 1 }]) : undefined;
      return [
        {
          clay: name,
          recipe: recipeIn(support),
          lab: support.lab,
          wantedShown: lab,
          dE00: support.isSaved ? deltaE2000(lab, support.lab) : support.dE00,
          chance,
          bakeFirst: !support.isSaved && chance < SURE_ENOUGH,
          ...(support.isSaved ? { isSaved: true as const } : {}),
          ...(cost === undefined ? {} : { costPer100g: cost }),
          ...(own === undefined ? {} : { blockPer100g: own }),
        },
      ];
    });

    const instead = exchangeable(found.makeable, piles, terms, tolerance);
    const buy: BoughtBlock[] = [];
    for (const [block, { clay, name, lab, effect, term }] of blocks.entries()) {
      if (piles.held[block] === 0) continue;
      const closest = found.reach.closest[block];
      const barred = found.reach.barred[block];
      const isFar = closest === undefined || closest.dE00 > tolerance;
      const isPinned = term.pinned === 'always';
      const more =
        isFar && !isPinned && mostClays === MOST_CLAYS_TOGETHER
          ? yield* ofMoreClays(clays, ready, block, question)
          : undefined;
      const others = (instead.get(block) ?? []).map(nameOf);
      const reason = plan.stock.get(clay)?.buying?.why;
      buy.push({
        clay: name,
        shown: lab,
        ...(closest === undefined ? {} : { closest: closest.lab }),
        instead: others,
        why: whyBought({
          pinned: isPinned,
          ...(reason === undefined ? {} : { reason }),
          lab,
          does: effectInWords(effect === undefined ? [] : [effect]),
          ...(closest === undefined
            ? {}
            : { closest: { lab: closest.lab, dE00: closest.dE00, words: inWords(closest) } }),
          ...(effect === undefined && barred !== undefined && barred.dE00 <= tolerance
            ? { notFlat: inWords(barred) }
            : {}),
          ...(more === undefined ? {} : { moreClays: formatRecipe(recipeOf(clays, more)) }),
          usedBy: usedBy.get(block) ?? 0,
          instead: others,
          tolerance,
          mostClays,
        }),
      });
    }

    const saves = savedBy(mix, question.grams);
    return {
      tolerance,
      buy,
      mix,
      neither: piles.unmakeable.map((block) => ({
        clay: nameOf(block),
        sentence: neitherInWords(found.reach.closest[block], inWords),
      })),
      goal: ready.goal,
      proven: piles.proven,
      ...(saves === undefined ? {} : { saves }),
      frontier:
        question.frontier === true
          ? found.frontier.map(
              (at): PilesPoint => ({
                from: at.from,
                proven: at.proven,
                buy: list.flatMap((_, block) => (at.held[block] === 1 ? [nameOf(block)] : [])),
                mix: list.flatMap((_, block) => {
                  if (!isMixed(block, at)) return [];
                  const support = found.makeable.closest(block, at.held, widest);
                  if (support === undefined) return [];
                  const { lab, dE00 } = support;
                  return [{ clay: nameOf(block), recipe: recipeIn(support), lab, dE00 }];
                }),
              }),
            )
          : [],
      notes: [
        ...ready.notes,
        ...(question.grams === undefined || saves !== undefined
          ? []
          : ['What mixing saves is not known, because a price is missing or in another currency.']),
      ],
    };
  },
});

/** The clays of the question, their colours, and what buying each costs. */
function readyFor(clays: KnownClays, question: BuyOrMixQuestion) {
  const { lines, tolerance, mostClays, parts, stock } = question;
  const index = (of: readonly string[] | undefined) =>
    new Set((of ?? []).map((name) => clayIndex(clays, name)));
  const [always, never] = [index(question.always), index(question.never)];
  const both = [...always].find((clay) => never.has(clay));
  if (both !== undefined) throw bothPinned(clayName(clays, both));
  const plan = planOf(clays, {
    // Only its clays, stock and amounts are used, which no colour changes.
    aim: [50, 0, 0],
    viewing: HOUSE_VIEWING,
    tolerance,
    mostClays,
    parts,
    top: 1,
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
    goal: isCheapest ? GOALS[1] : GOALS[0],
    notes: question.goal === 'cheapest' ? prices.notes('the piles have the fewest blocks') : [],
    terms: blocks.map(({ term }) => term),
    labs: blocks.map(({ lab }) => lab),
    effects: blocks.map(({ effect }) => effect),
  };
}

/** Saved mixes by the places of their clays; one with a clay that is not looked at cannot count. */
function savedMixes(
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

/** A recipe of one clay more from flat clays, where one is close enough. */
function* ofMoreClays(
  { predictor }: KnownClays,
  { blocks, plan }: ReturnType<typeof readyFor>,
  block: number,
  { tolerance, parts }: BuyOrMixQuestion,
): WorkSteps<WholeParts | undefined> {
  const others = blocks.filter(({ effect }, at) => at !== block && effect === undefined);
  const own = blocks[block];
  if (own === undefined || others.length < MORE_CLAYS || own.effect !== undefined) return undefined;
  const run = startSearch(predictor, {
    aim: own.lab,
    weights: colourWeights('D50', 2),
    clays: others.map(({ clay }) => clay),
    mostClays: MORE_CLAYS,
    parts,
    top: 1,
    below: tolerance,
    ...(plan.amounts === undefined ? {} : { amounts: plan.amounts }),
  });
  yield { what: 'trying one clay more', run: limitedTo(MORE_CLAYS_STEPS, run) };
  return run.best().find(({ dE00 }) => dE00 <= tolerance)?.parts;
}

function per100g(plan: Pick<FindPlan, 'stock' | 'basis'>, parts: WholeParts): number | undefined {
  const perKg = priceOf(plan, { parts });
  return perKg === undefined ? undefined : perKg / 10;
}

/** What the mixed blocks would cost more, had they been bought. */
function savedBy(mix: readonly MixedBlock[], grams: number | undefined): number | undefined {
  if (grams === undefined) return undefined;
  let saved = 0;
  for (const { costPer100g, blockPer100g } of mix) {
    if (costPer100g === undefined || blockPer100g === undefined) return undefined;
    saved += ((blockPer100g - costPer100g) * grams) / 100;
  }
  return Math.round(saved);
}

function neitherInWords(
  closest: Support | undefined,
  inWords: (support: Support) => string,
): string {
  return closest === undefined
    ? 'You do not buy it, and nothing else gives this colour.'
    : `You do not buy it, and the closest mix is ${closest.dE00.toFixed(1)} away: ${inWords(closest)}.`;
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

function nothingChosen(): AppError {
  return new AppError({
    code: 'work-stopped',
    kind: 'unavailable',
    detail: 'The work was stopped before blocks were chosen.',
    hint: 'Ask for it again.',
    retry: true,
  });
}
