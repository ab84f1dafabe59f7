import { type RecipeWithin, startRecipesWithin } from '../core/buying/recipes-within.ts';
import { shopping } from '../core/buying/shopping.ts';
import type { ShoppingAsked, ShopRecipe } from '../core/buying/shopping-asked.ts';
import type { KnownClays } from '../core/find/known-clays.ts';
import type { WorkSteps } from '../core/find/work-steps.ts';
import {
  VERDICT_LIMITS,
  type VerdictWord,
  verdictLimit,
  verdictWord,
} from '../core/verdict/verdict.ts';
import {
  type BoughtColour,
  type BoughtPackages,
  type BuyingListAnswer,
  type BuyingListQuestion,
  buyingListAnswer,
  buyingListQuestion,
  type CostPoint,
} from './buying-list-question.ts';
import { coloursToBuy } from './colours-to-buy.ts';
import { type Shop, shopFor } from './shop-asked.ts';
import { verb } from './verb.ts';

/** A list is good enough within this share of the best one. */
const GAP = 0.005;
/** The optimiser ends by its steps first, unless the computer is very slow or busy. */
const SECONDS = 60;
/** The same for each other closeness. */
const ROUGH_GAP = 0.01;
const ROUGH_SECONDS = 5;
const WIDEST = verdictLimit('family');

const HOW_CLOSE: Readonly<Record<VerdictWord, string>> = {
  same: 'the same colour',
  match: 'a match',
  close: 'close',
  family: 'only of the same family',
  different: 'a different colour',
};

/** For a figure whose colours are all mixed. */
const NOTHING: BuyingListAnswer = {
  buy: [],
  have: [],
  colours: [],
  packages: 0,
  gap: 0,
  meanDE00: 0,
  worstDE00: 0,
  helps: [],
  frontier: [],
  notes: [],
};

/**
 * What to buy for some colours: whole packages, with what is at hand, so that each colour has a recipe.
 * Refuses: no colour at all -> invalid-input; as `find` does for colours, names and basis
 * Holds:   a colour that nothing gives is named with the closest mix, and the rest is planned
 */
export const buyingList = verb({
  name: 'buying-list',
  asks: 'What do I buy for these colours?',
  question: buyingListQuestion,
  answer: buyingListAnswer,
  *run(clays: KnownClays, question: BuyingListQuestion): WorkSteps<BuyingListAnswer> {
    const { tolerance, mostClays, parts } = question;
    const { colours: wanted, notes: leftOut } = yield* coloursToBuy(clays, question);
    if (wanted.length === 0) return { ...NOTHING, notes: [...leftOut] };
    const shop = shopFor(clays, question);
    const isWhole = question.frontier === true;
    const widest = isWhole ? Math.max(tolerance, WIDEST) : tolerance;
    const run = startRecipesWithin(clays.predictor, {
      clays: shop.list,
      wanted: wanted.map(({ lab }) => ({ lab, tolerance: widest })),
      mostClays,
      parts,
      mayServe: (set) => set.every((at) => shop.blocks[at]?.effect === undefined),
      ...(shop.plan.amounts === undefined ? {} : { amounts: shop.plan.amounts }),
    });
    yield { what: 'looking at every recipe', run };
    const { within: all, closest } = run.recipes();
    const within = all.map((own) => own.filter(({ dE00 }) => dE00 <= tolerance));
    const isOpen = ({ clays: set }: RecipeWithin) =>
      set.every((at) => shop.blocks[at]?.isClosed !== true || (shop.blocks[at]?.onHandG ?? 0) > 0);
    const shopAt = (usable: readonly (readonly RecipeWithin[])[]): ShoppingAsked => ({
      blocks: shop.blocks,
      recipes: usable.map((own, colour) =>
        own.map((recipe) => ({ uses: usesOf(recipe, shop, wanted[colour]?.mixedG ?? 0) })),
      ),
      gap: GAP,
      seconds: SECONDS,
      isThorough: question.thorough === true,
      ...(question.budgetMinor === undefined || !shop.isPriced
        ? {}
        : { budget: question.budgetMinor }),
      ...(question.mostLines === undefined ? {} : { mostLines: question.mostLines }),
    });
    const usable = within.map((own) => own.filter(isOpen));
    const asked = shopAt(usable);
    const { recipes } = asked;
    const list = yield* shopping(asked);
    const frontier: CostPoint[] = [];
    for (const [, limit] of isWhole ? VERDICT_LIMITS : []) {
      const own = all.map((one) => one.filter((at) => at.dE00 <= limit && isOpen(at)));
      const found =
        limit === tolerance
          ? list
          : yield* shopping({
              ...shopAt(own),
              gap: ROUGH_GAP,
              seconds: ROUGH_SECONDS,
              isThorough: false,
            });
      const off = found.chosen.flatMap((place, at) =>
        place === undefined ? [] : (own[at]?.[place]?.dE00 ?? []),
      );
      frontier.push({
        tolerance: limit,
        packages: found.packages.reduce((sum, n) => sum + n, 0),
        ...(shop.isPriced
          ? {
              costMinor: found.packages.reduce(
                (sum, n, at) => sum + n * (shop.blocks[at]?.priceMinor ?? 0),
                0,
              ),
            }
          : {}),
        met: off.length,
        meanDE00: meanOf(off),
        worstDE00: Math.max(0, ...off),
      });
    }
    const nameOf = (at: number) => shop.blocks[at]?.name ?? '';
    const recipeIn = ({ clays: set, counts }: RecipeWithin) =>
      set
        .map((at, i) => ({ clay: nameOf(at), parts: counts[i] ?? 0 }))
        .sort((one, other) => other.parts - one.parts);
    const colours = wanted.map(({ colour, lab, grams }, at): BoughtColour => {
      const place = list.chosen[at];
      const recipe = place === undefined ? undefined : usable[at]?.[place];
      const common = { colour, lab, grams };
      if (recipe === undefined) {
        return { ...common, why: whyUnmet(question, usable[at] ?? [], closest[at], recipeIn) };
      }
      return { ...common, recipe: recipeIn(recipe), mixed: recipe.lab, dE00: recipe.dE00 };
    });
    const used = new Map<number, { colour: string; grams: number }[]>();
    list.chosen.forEach((place, at) => {
      const recipe = place === undefined ? undefined : recipes[at]?.[place];
      for (const { block, grams } of recipe?.uses ?? []) {
        used.set(block, [...(used.get(block) ?? []), { colour: wanted[at]?.colour ?? '', grams }]);
      }
    });
    const rows = shop.blocks.flatMap((block, at): BoughtPackages[] => {
      const goesInto = used.get(at);
      if (goesInto === undefined) return [];
      const packages = list.packages[at] ?? 0;
      const usedG = goesInto.reduce((sum, { grams }) => sum + grams, 0);
      return [
        {
          clay: block.name,
          ...(block.line === '' ? {} : { line: block.line }),
          shown: block.lab,
          packages,
          packageG: block.packageG,
          ...(shop.isPriced ? { costMinor: packages * block.priceMinor } : {}),
          onHandG: block.onHandG,
          usedG,
          leftG: block.onHandG + packages * block.packageG - usedG,
          for: goesInto,
        },
      ];
    });
    const off = colours.flatMap(({ dE00 }) => dE00 ?? []);
    return {
      buy: rows.filter(({ packages }) => packages > 0),
      have: rows.filter(({ packages }) => packages === 0),
      colours,
      packages: list.packages.reduce((sum, n) => sum + n, 0),
      ...(shop.isPriced
        ? { costMinor: rows.reduce((sum, { costMinor = 0 }) => sum + costMinor, 0) }
        : {}),
      ...(shop.currency === undefined ? {} : { currency: shop.currency }),
      gap: list.cost === 0 ? 0 : (list.cost - list.bound) / list.cost,
      meanDE00: meanOf(off),
      worstDE00: Math.max(0, ...off),
      helps: helpsOf(within, usable, shop, wanted),
      frontier,
      notes: [...leftOut, ...shop.notes],
    };
  },
});

function meanOf(values: readonly number[]): number {
  return values.length === 0 ? 0 : values.reduce((sum, d) => sum + d, 0) / values.length;
}

/** Grams of each block in so much of a mix. */
function usesOf({ clays, counts }: RecipeWithin, { plan, blocks }: Shop, grams: number) {
  const masses = clays.map((at, i) => {
    const parts = counts[i] ?? 0;
    return plan.basis === 'weight' ? parts : parts * (blocks[at]?.density ?? 1);
  });
  const total = masses.reduce((sum, mass) => sum + mass, 0);
  return clays.map((block, i): ShopRecipe['uses'][number] => ({
    block,
    grams: (grams * (masses[i] ?? 0)) / total,
  }));
}

function whyUnmet(
  { budgetMinor, mostLines }: BuyingListQuestion,
  usable: readonly RecipeWithin[],
  closest: RecipeWithin | undefined,
  recipeIn: (recipe: RecipeWithin) => readonly { clay: string; parts: number }[],
): string {
  if (usable.length > 0) {
    const limits = [
      ...(budgetMinor === undefined ? [] : ['The budget']),
      ...(mostLines === undefined ? [] : ['The number of lines']),
    ].join(' or ');
    return limits === ''
      ? 'Every recipe needs more than is at hand of a block that is never bought.'
      : `${limits.replace(' The', ' the')} leaves no room for this colour.`;
  }
  if (closest === undefined) return 'No clay is left to mix this colour from.';
  const said = recipeIn(closest)
    .map(({ clay, parts }) => `${parts} ${clay}`)
    .join(' + ');
  return `Nothing you would buy comes close enough. The closest mix of all clays is ${HOW_CLOSE[verdictWord(closest.dE00)]}: ${said}.`;
}

/** Closed blocks by the unmet colours that each alone would open, the most first. */
function helpsOf(
  within: readonly (readonly RecipeWithin[])[],
  usable: readonly (readonly RecipeWithin[])[],
  { blocks }: Shop,
  wanted: readonly { readonly colour: string }[],
): BuyingListAnswer['helps'] {
  const opens = new Map<number, Set<string>>();
  within.forEach((own, colour) => {
    if ((usable[colour]?.length ?? 0) > 0) return;
    for (const { clays } of own) {
      const closed = clays.filter(
        (at) => blocks[at]?.isClosed === true && blocks[at]?.onHandG === 0,
      );
      const [only] = closed;
      if (closed.length !== 1 || only === undefined) continue;
      opens.set(only, (opens.get(only) ?? new Set()).add(wanted[colour]?.colour ?? ''));
    }
  });
  return [...opens]
    .map(([at, colours]) => ({ clay: blocks[at]?.name ?? '', colours: [...colours] }))
    .sort((one, other) => other.colours.length - one.colours.length)
    .slice(0, 5);
}
