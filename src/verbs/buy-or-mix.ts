import { deltaE2000 } from '../core/colour/difference.ts';
import { colourWeights } from '../core/colour/weights.ts';
import { priceOf } from '../core/find/find-answer.ts';
import type { FindPlan } from '../core/find/find-plan.ts';
import { effectInWords } from '../core/find/flat-clays.ts';
import { type KnownClays, recipeOf } from '../core/find/known-clays.ts';
import { limitedTo, type WorkSteps } from '../core/find/work-steps.ts';
import type { WholeParts } from '../core/mixes/whole-parts.ts';
import { formatRecipe } from '../core/notation/notation.ts';
import { pairs } from '../core/numeric/pairs.ts';
import { chancesOfPiles } from '../core/piles/pile-chances.ts';
import { exchangeable, findingPiles, type Piles } from '../core/piles/piles.ts';
import { type Support, startReach, withSavedMixes } from '../core/piles/reach.ts';
import { MOST_CLAYS_TOGETHER } from '../core/piles/recipe-walk.ts';
import { whyBought } from '../core/piles/why-bought.ts';
import { startSearch } from '../core/search/search.ts';
import { verdictLimit } from '../core/verdict/verdict.ts';
import {
  type BoughtBlock,
  type BuyOrMixAnswer,
  type BuyOrMixQuestion,
  buyOrMixAnswer,
  buyOrMixQuestion,
  type MixedBlock,
  type PilesPoint,
} from './buy-or-mix-question.ts';
import { nothingChosen, readyFor, savedMixes } from './piles-asked.ts';
import { verb } from './verb.ts';

/** Recipes of a block of which the likeliest is taken. */
const LOOKED_AT = 4;
/** Below this chance a recipe should be baked before the block is left in the shop. */
const SURE_ENOUGH = 0.5;
/** Clays of a recipe that is looked for where three are too few. */
const MORE_CLAYS = 4;
/** Steps of the search for one recipe of more clays at most. */
const MORE_CLAYS_STEPS = 50_000;
const [SAME, FAMILY] = [verdictLimit('same'), verdictLimit('family')];

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
