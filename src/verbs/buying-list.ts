import { z } from 'zod';
import { type RecipeWithin, startRecipesWithin } from '../core/buying/recipes-within.ts';
import { shopping } from '../core/buying/shopping.ts';
import type { ShoppingAsked, ShopRecipe } from '../core/buying/shopping-asked.ts';
import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import { invalidInput } from '../core/errors.ts';
import { withWaste } from '../core/figure/waste.ts';
import { planOf } from '../core/find/find-plan.ts';
import { specialEffectOf } from '../core/find/flat-clays.ts';
import { clayIndex, clayName, type KnownClays } from '../core/find/known-clays.ts';
import { predictViewed } from '../core/find/predicted-mix.ts';
import type { WorkSteps } from '../core/find/work-steps.ts';
import { USUAL_DENSITY } from '../core/mixes/mix-graph.ts';
import { pairs } from '../core/numeric/pairs.ts';
import { MOST_CLAYS_TOGETHER } from '../core/piles/recipe-walk.ts';
import {
  VERDICT_LIMITS,
  type VerdictWord,
  verdictLimit,
  verdictWord,
} from '../core/verdict/verdict.ts';
import { range } from '../domain/records/pieces.ts';
import { coloursAsked } from './aim.ts';
import { labAnswer, recipeAnswer } from './answer-parts.ts';
import { findQuestion } from './find-question.ts';
import { pricesKnown, someOf } from './prices-known.ts';
import { basis, names, wantedFields } from './question-parts.ts';
import { verb, words } from './verb.ts';

const GOALS = ['cheapest', 'fewest'] as const;
/** Of each colour, where the question does not say. */
const USUAL_GRAMS = 30;
/** Where the weight of a package is not known. Common practice, no source. */
const USUAL_PACKAGE_G = 56;
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

export const buyingListQuestion = z.strictObject({
  ...wantedFields,
  grams: range(0.1, 100_000)
    .default(USUAL_GRAMS)
    .meta(words({ option: 'grams', value: 'GRAMS', help: 'grams of each colour' })),
  /** Of each aim, where they differ. */
  gramsEach: z.array(z.number().positive()).max(300).readonly().exactOptional(),
  waste: range(0, 0.9)
    .default(0)
    .meta(words({ option: 'waste', value: 'SHARE', help: 'share of the clay that is lost' })),
  tolerance: findQuestion.shape.tolerance.default(3.5),
  mostClays: z
    .int()
    .min(1)
    .max(MOST_CLAYS_TOGETHER)
    .default(MOST_CLAYS_TOGETHER)
    .meta(words({ option: 'clays', value: 'N', help: 'most different clays in one recipe' })),
  parts: z
    .int()
    .min(1)
    .max(24)
    .default(8)
    .meta(words({ option: 'parts', value: 'N', help: 'most whole parts in one recipe' })),
  goal: z
    .enum(GOALS)
    .default(GOALS[0])
    .meta(
      words({ option: 'goal', value: 'GOAL', help: 'the cheapest list, or the fewest packages' }),
    ),
  budgetMinor: range(0, 1e9)
    .exactOptional()
    .meta(
      words({
        option: 'budget',
        value: 'MINOR',
        help: 'most that all packages may cost, in hundredths of the money of your prices; then as many colours as can be',
      }),
    ),
  mostLines: z
    .int()
    .min(1)
    .max(100)
    .exactOptional()
    .meta(words({ option: 'most-lines', value: 'N', help: 'buy from at most so many lines' })),
  never: names
    .exactOptional()
    .meta(words({ option: 'never', value: '"A, B"', help: 'blocks that you do not buy' })),
  neverLines: names.exactOptional().meta(
    words({
      option: 'never-lines',
      value: '"A, B"',
      noun: 'line',
      help: 'lines of which you do not buy',
    }),
  ),
  thorough: z
    .boolean()
    .exactOptional()
    .meta(
      words({
        option: 'thorough',
        help: 'where a better list could be clearly cheaper, look for one some minutes longer',
      }),
    ),
  frontier: z
    .boolean()
    .exactOptional()
    .meta(
      words({
        option: 'frontier',
        help: 'also what the list costs for every other closeness, from the same colour to the same family',
      }),
    ),
  stock: findQuestion.shape.stock,
  basis,
});
export type BuyingListQuestion = z.output<typeof buyingListQuestion>;

const colourAnswer = z.object({
  colour: z.string(),
  lab: labAnswer,
  grams: z.number(),
  /** Absent where nothing comes close, or the budget ends before it. */
  recipe: recipeAnswer.exactOptional(),
  mixed: labAnswer.exactOptional(),
  dE00: z.number().exactOptional(),
  /** Why it has no recipe. */
  why: z.string().exactOptional(),
});
export type BoughtColour = z.output<typeof colourAnswer>;

const packageAnswer = z.object({
  clay: z.string(),
  line: z.string().exactOptional(),
  shown: labAnswer,
  packages: z.int(),
  packageG: z.number(),
  costMinor: z.number().exactOptional(),
  onHandG: z.number(),
  usedG: z.number(),
  leftG: z.number(),
  /** Colours that it goes into, with the grams of each. */
  for: z.array(z.object({ colour: z.string(), grams: z.number() })),
});
export type BoughtPackages = z.output<typeof packageAnswer>;

const costPoint = z.object({
  tolerance: z.number(),
  packages: z.int(),
  costMinor: z.number().exactOptional(),
  /** Colours that have a recipe. */
  met: z.int(),
  meanDE00: z.number(),
  worstDE00: z.number(),
});
export type CostPoint = z.output<typeof costPoint>;

const buyingListAnswer = z.object({
  buy: z.array(packageAnswer),
  /** Blocks at hand that are used and need no package. */
  have: z.array(packageAnswer),
  colours: z.array(colourAnswer),
  packages: z.int(),
  costMinor: z.number().exactOptional(),
  currency: z.string().exactOptional(),
  /** The list is at most this share dearer than the best one of all recipes. */
  gap: z.number(),
  /** Mean and largest difference of the colours that are met, dE00. */
  meanDE00: z.number(),
  worstDE00: z.number(),
  /** Blocks that are not bought, and the colours that nothing gives which each of them would give. */
  helps: z.array(z.object({ clay: z.string(), colours: z.array(z.string()) })),
  /** What the list costs at each closeness, where that was asked for, the closest first. */
  frontier: z.array(costPoint),
  notes: z.array(z.string()),
});
export type BuyingListAnswer = z.output<typeof buyingListAnswer>;

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
    const { tolerance, mostClays, parts, aims, waste } = question;
    if (aims.length === 0) {
      throw invalidInput('No colour is wanted.', 'Name colours, or a palette of your book.');
    }
    const { colours: readable, refused } = coloursAsked(question, clays);
    if (readable.length === 0) throw invalidInput(refused.join(' '), 'Correct the colours.');
    const wanted = readable.map(({ at, lab, called }) => {
      const grams = question.gramsEach?.[at] ?? question.grams;
      return { lab, tolerance, colour: called, grams, mixedG: withWaste(grams, waste) };
    });
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
        return { ...common, why: whyUnmet(usable[at] ?? [], closest[at], recipeIn) };
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
      notes: [...refused, ...shop.notes],
    };
  },
});

function meanOf(values: readonly number[]): number {
  return values.length === 0 ? 0 : values.reduce((sum, d) => sum + d, 0) / values.length;
}

/** The blocks of the question, what each costs, and what had to be taken. */
function shopFor(clays: KnownClays, question: BuyingListQuestion) {
  const { tolerance, mostClays, parts, stock = [], goal } = question;
  const plan = planOf(clays, {
    // Only its clays, stock and amounts are used, which no colour changes.
    aim: [50, 0, 0],
    viewing: HOUSE_VIEWING,
    tolerance,
    mostClays,
    parts,
    top: 1,
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
type Shop = ReturnType<typeof shopFor>;

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
  usable: readonly RecipeWithin[],
  closest: RecipeWithin | undefined,
  recipeIn: (recipe: RecipeWithin) => readonly { clay: string; parts: number }[],
): string {
  if (usable.length > 0) return 'The budget or the number of lines leaves no room for this colour.';
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
