import { sharesOfParts } from '../clay/mixture.ts';
import { labUnder } from '../colour/adaptation.ts';
import type { Lab } from '../colour/triples.ts';
import { AppError } from '../errors.ts';
import { clayKey, type Recipe } from '../notation/notation.ts';
import { ALTERNATIVE_REASONS, alternativesTo, frontierOf } from '../search/alternatives.ts';
import { timesOver } from '../search/pre-mix.ts';
import { startSearch } from '../search/search.ts';
import { startExhaustiveSearch } from '../search/search-exhaustive.ts';
import type { SearchHit as CoreRecipe } from '../search/search-options.ts';
import { countCompositions, countRecipes } from '../search/search-problem.ts';
import { chanceWithin } from '../verdict/chance.ts';
import { type Verdict, verdict } from '../verdict/verdict.ts';
import { type FindPlan, type FindTask, planIfAny, planOf } from './find-plan.ts';
import { type PreMixFound, preMixOf } from './find-pre-mix.ts';
import { type SpecialEffect, specialEffectOf } from './flat-clays.ts';
import { type GapReport, shortfallOf } from './gap-report.ts';
import { type KnownClays, recipeOf, withStockClays } from './known-clays.ts';
import { predictViewed } from './predicted-mix.ts';
import { ORDERS, recipesInOrder } from './recipe-order.ts';
import { partWeights } from './rules-of-call.ts';
import type { WorkSteps } from './work-steps.ts';

/** Most recipes a search through every recipe may try; with more, minutes become hours. */
const MOST_TRIED = 400_000_000;
/** Number of recipes shown while the search runs: judging one takes as long as finding it. */
const SHOWN_WHILE_RUNNING = 5;
/** Number of recipes these are chosen from, the closest so far. */
const JUDGED_WHILE_RUNNING = 12;
/** Recipes looked at of every smaller number of clays. */
const OF_FEWER = 12;
/** Ways to share out the parts of one set of clays; with more, the search would fill the memory. */
const MOST_WAYS = 300_000;

/** Why a recipe is worth showing beside the first. */
export const FOUND_REASONS = [...ALTERNATIVE_REASONS, 'one line'] as const;
export type FoundReason = (typeof FOUND_REASONS)[number];

export interface FoundRecipe {
  /** Most parts first. */
  readonly parts: Recipe;
  readonly lab: Lab;
  /** The largest over the lights of the search; a difference the user accepts counts for half. */
  readonly dE00: number;
  /**
   * ± and verdict are those of the light with the largest error; no difference counts for half
   * here.
   */
  readonly plusMinus: number;
  readonly verdict: Verdict;
  /**
   * Chance that its true colour is within the tolerance, by its ±, under the least likely light;
   * 0-1.
   */
  readonly chance: number;
  /** D50 and 2 degree, for showing it. */
  readonly shown: Lab;
  /** Of `lab`, 3 x 3 by rows: what it may come out as. */
  readonly covariance: readonly number[];
  /** What its clays do besides having a colour; absent where all are flat. */
  readonly effects?: readonly SpecialEffect[];
  /**
   * Under a rule on half parts: cut the recipe this many times larger, so that half a part counts
   * for less.
   */
  readonly times?: number;
  /** Its clays of which no tile was measured; absent where all are learned. */
  readonly rough?: readonly string[];
  /** Whole minor units a kilogram, where the stock has a price for every clay. */
  readonly priceMinorPerKg?: number;
}

/** What is known about a question, so far or at the end. */
export interface FindResult {
  /** In the order asked for, chosen from the closest and the best of fewer clays. */
  readonly recipes: readonly FoundRecipe[];
  readonly alternatives: readonly {
    readonly reason: FoundReason;
    readonly recipe: FoundRecipe;
  }[];
  /** Recipes for which no closer one is as good in clays, parts and price. */
  readonly frontier: readonly FoundRecipe[];
  readonly gapReport?: GapReport;
  readonly preMix?: PreMixFound;
  readonly tried: number;
  /** Clays of the stock that are in no recipe: not learned, and of no colour that anything says. */
  readonly unlearned: readonly string[];
  /** Number of all recipes; rules are not subtracted. */
  readonly total: number;
  /** Share of all recipes that were tried or proven no closer than the farthest one listed, 0-1. */
  readonly settled: number;
  /** No better recipe exists; false while the search runs, or when it was ended early. */
  readonly proven: boolean;
  /** What ended the search early. */
  readonly endedBy?: 'stop' | 'time';
}

/**
 * The whole-part recipes of some clays that give an aim, the likeliest first. `hear` gets the best so far
 * when the task of the search asks for it, all recipes as soon as nothing closer can exist, and
 * every addition after that.
 * Refuses: unknown names; rules that contradict; a search too wide for the memory, or for trying
 *          every recipe -> bad-input
 * Returns: `gapReport` when the best is past the tolerance or no recipe keeps to the rules;
 *          `proven` false and the best so far when it was stopped or the time limit was reached
 */
export function* finding(
  learned: KnownClays,
  question: FindTask,
  hear: (soFar: FindResult) => void = () => {},
): WorkSteps<FindResult> {
  const clays = withStockClays(learned, question.stock ?? []);
  const plan = planOf(clays, question);
  checkWidth(question, plan);
  const start = question.exhaustive === true ? startExhaustiveSearch : startSearch;
  const run = start(clays.predictor, plan.options);
  const judged = new Map<string, FoundRecipe>();
  const shown = (recipe: CoreRecipe) => {
    const key = keyOf(recipe);
    const found = judged.get(key) ?? foundRecipe(clays, question, plan, recipe);
    judged.set(key, found);
    return found;
  };
  const unlearned = (question.stock ?? [])
    .map(({ name }) => name)
    .filter((name) => !clays.indexOf.has(clayKey(name)));
  const order = question.order ?? ORDERS[0];
  const listed = (pool: readonly CoreRecipe[], most: number) =>
    order === 'closest'
      ? pool.slice(0, most).map(shown)
      : recipesInOrder(pool.map(shown), order, question.tolerance).slice(0, most);
  const known = (proven: boolean, pool: readonly CoreRecipe[], most: number): FindResult => ({
    recipes: listed(pool, most),
    alternatives: [],
    frontier: [],
    tried: run.tried,
    total: run.total,
    unlearned,
    settled: proven ? 1 : run.settled,
    proven,
  });
  const tell = () => {
    const most = Math.min(SHOWN_WHILE_RUNNING, question.top);
    hear(known(false, run.best().slice(0, JUDGED_WHILE_RUNNING), most));
  };
  const ended = yield {
    what: 'looking for recipes',
    run,
    tell,
    ...(question.mostSeconds === undefined ? {} : { withinMs: 1000 * question.mostSeconds }),
  };
  const proven = ended === 'whole';
  const all = run.best();
  let soFar: FindResult = {
    ...known(proven, all, question.top),
    ...(proven ? {} : { endedBy: ended === 'stopped' ? 'stop' : 'time' }),
  };
  const say = (more: Partial<FindResult>) => {
    soFar = { ...soFar, ...more };
    hear(soFar);
  };
  if (proven) hear(soFar);
  const longer = proven ? yield* withFewerClays(clays, plan, all) : all;
  const price = (recipe: CoreRecipe) => priceOf(plan, recipe);
  const others: { reason: FoundReason; recipe: CoreRecipe }[] = [
    ...alternativesTo(longer, question.tolerance, price),
  ];
  const oneLine = proven ? yield* ofOneLine(clays, question, plan, longer[0]) : undefined;
  if (oneLine !== undefined && !others.some(({ recipe }) => keyOf(recipe) === keyOf(oneLine))) {
    others.push({ reason: 'one line', recipe: oneLine });
  }
  say({
    ...(proven ? { recipes: listed(longer, question.top) } : {}),
    alternatives: others.map(({ reason, recipe }) => ({ reason, recipe: shown(recipe) })),
    frontier: frontierOf(longer, price).map(shown),
  });
  if (!proven) return soFar;
  const [first] = all;
  if (first === undefined || first.dE00 > question.tolerance) {
    const said = (gapReport: GapReport) => say({ gapReport });
    yield* shortfallOf(clays, question, plan, first, said);
  }
  const preMix = yield* preMixOf(clays, plan, first);
  if (preMix !== undefined) say({ preMix });
  return soFar;
}

function checkWidth(question: FindTask, { options }: FindPlan): void {
  const { clays, mostClays, parts } = options;
  const total = countRecipes(clays.length, mostClays, parts);
  const ways = countCompositions(Math.min(mostClays, parts), parts);
  if (ways <= MOST_WAYS && (question.exhaustive !== true || total <= MOST_TRIED)) return;
  throw new AppError({
    code: 'find-too-wide',
    kind: 'bad-input',
    detail: `That is ${total.toLocaleString('en')} recipes${question.exhaustive === true ? ' to try one by one, which would take many minutes' : ', more than can be checked'}.`,
    hint: 'Allow fewer parts or clays, or name the clays to use.',
  });
}

/** The proven list, and beside it the best recipes of every smaller number of clays. */
function* withFewerClays(
  { predictor }: KnownClays,
  plan: FindPlan,
  all: readonly CoreRecipe[],
): WorkSteps<readonly CoreRecipe[]> {
  const seen = new Set(all.map(keyOf));
  const more: CoreRecipe[] = [];
  for (let most = 1; most < plan.options.mostClays; most++) {
    const run = startSearch(predictor, { ...plan.options, mostClays: most, top: OF_FEWER });
    if ((yield { what: 'trying fewer clays', run }) !== 'whole') break;
    for (const recipe of run.best()) if (!seen.has(keyOf(recipe))) more.push(recipe);
  }
  const distinct = new Map(more.map((recipe) => [keyOf(recipe), recipe]));
  return [...all, ...distinct.values()].sort((one, other) => one.dE00 - other.dE00);
}

/** The closest recipe of one line, where the closest of all takes several. */
function* ofOneLine(
  clays: KnownClays,
  question: FindTask,
  { stock }: FindPlan,
  first: CoreRecipe | undefined,
): WorkSteps<CoreRecipe | undefined> {
  const lines = new Set(first?.parts.map(({ clay }) => stock.get(clay)?.line));
  if (lines.size < 2 || lines.has(undefined)) return undefined;
  const rules = { ...question.rules, mostLines: 1 };
  const plan = planIfAny(clays, { ...question, rules });
  if (plan === undefined) return undefined;
  const run = startSearch(clays.predictor, { ...plan.options, top: 1 });
  return (yield { what: 'trying one line', run }) === 'whole' ? run.best()[0] : undefined;
}

function keyOf({ parts }: CoreRecipe): string {
  return parts
    .map(({ clay, parts }) => `${clay}:${parts}`)
    .sort()
    .join();
}

/** Minor units of money a kilogram, where every clay of it has a price. */
export function priceOf(
  { stock, basis }: Pick<FindPlan, 'stock' | 'basis'>,
  { parts }: Pick<CoreRecipe, 'parts'>,
): number | undefined {
  const weights = partWeights(
    stock,
    parts.map(({ clay }) => clay),
    basis,
  );
  let money = 0;
  let grams = 0;
  for (const { clay, parts: count } of parts) {
    const row = stock.get(clay);
    if (row?.priceMinorPerG === undefined) return undefined;
    // Prices are by weight: parts by volume weigh as their density says.
    const weight = count * (weights?.[clay] ?? 1);
    money += weight * row.priceMinorPerG;
    grams += weight;
  }
  return (1000 * money) / grams;
}

/** A recipe with its ±, its verdict and its chance. */
function foundRecipe(
  clays: KnownClays,
  question: FindTask,
  plan: FindPlan,
  { parts, dE00 }: CoreRecipe,
): FoundRecipe {
  const shares = sharesOfParts(parts, plan.amounts);
  const { aim, viewing, tolerance } = question;
  const judged = [viewing, ...(question.otherViewings ?? [])].map((each) => {
    const { lab, shown, covariance } = predictViewed(clays.predictor, shares, each);
    const wanted = labUnder(aim, viewing, each);
    return {
      lab,
      shown,
      covariance,
      verdict: verdict(wanted, lab, covariance),
      chance: chanceWithin(wanted, lab, covariance, tolerance),
    };
  });
  const [{ lab, shown, covariance }] = judged;
  const [farthest] = judged.toSorted((one, other) => other.verdict.dE00 - one.verdict.dE00);
  const times = timesOver(plan.options.parts, { parts });
  const price = priceOf(plan, { parts });
  const effects = [
    ...new Set(
      parts.flatMap(({ clay }) => specialEffectOf(clays, clay, plan.stock.get(clay)) ?? []),
    ),
  ];
  const rough = parts.flatMap(({ clay }) => (clays.rough?.has(clay) ? [clays.names[clay]] : []));
  return {
    parts: recipeOf(clays, parts),
    lab,
    dE00,
    plusMinus: farthest.verdict.plusMinus,
    verdict: farthest.verdict,
    chance: Math.min(...judged.map(({ chance }) => chance)),
    shown,
    covariance: [...covariance],
    ...(effects.length === 0 ? {} : { effects }),
    ...(rough.length === 0 ? {} : { rough }),
    ...(plan.options.rules?.halfPart !== undefined && times > 1 && parts.length > 1
      ? { times }
      : {}),
    ...(price === undefined ? {} : { priceMinorPerKg: Math.round(price) }),
  };
}
