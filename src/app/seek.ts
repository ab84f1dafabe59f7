import { chanceWithin } from '../core/clay/chance.ts';
import { labUnder } from '../core/colour/adaptation.ts';
import type { Lab } from '../core/colour/triples.ts';
import { AppError } from '../core/errors.ts';
import { type AlternativeReason, alternativesTo, frontierOf } from '../core/recipe/alternatives.ts';
import { timesOver } from '../core/recipe/let-down.ts';
import { parentKey, type Recipe } from '../core/recipe/notation.ts';
import { startSeek } from '../core/recipe/seek.ts';
import { startExhaustiveSeek } from '../core/recipe/seek-exhaustive.ts';
import type { FoundRecipe as CoreRecipe } from '../core/recipe/seek-options.ts';
import { countCompositions, countRecipes } from '../core/recipe/seek-problem.ts';
import { type Verdict, verdict } from '../core/recipe/verdict.ts';
import { type OpenClay, openClay } from './open-clay.ts';
import type { Ports } from './ports.ts';
import { foretoldMix } from './predict.ts';
import { type LetDownFound, letDownOf } from './seek-let-down.ts';
import { finish, planOf, recipeOf, type SeekPlan, type SeekQuestion } from './seek-plan.ts';
import { partWeights } from './seek-rules-of-call.ts';
import { type Shortfall, shortfallOf } from './seek-shortfall.ts';

/** What a search through every recipe may have to try; past it, minutes become hours. */
const MOST_TRIED = 400_000_000;
/** Ways to share out the parts of one set of clays; past it the search would fill the memory. */
const MOST_WAYS = 300_000;
export interface SeekCall extends SeekQuestion {
  /** Path of a clay file. */
  readonly clay: string;
  /** Path of a stock file, in place of `stock`. */
  readonly stockFile?: string;
}

export interface FoundRecipe {
  /** Most parts first. */
  readonly parts: Recipe;
  readonly lab: Lab;
  /** The largest over the lights asked for; what is given up counts for half. */
  readonly dE00: number;
  /** ± and verdict are those of the light under which it is farthest off; nothing counts for half. */
  readonly plusMinus: number;
  readonly verdict: Verdict;
  /** That its true colour lies within the tolerance, by its ±, under the least likely light; 0-1. */
  readonly chance: number;
  /** D50 and 2 degree, for showing it. */
  readonly shown: Lab;
  /** Under a rule on half parts: cut it so many times over, since half a part is then less. */
  readonly times?: number;
  /** Whole minor units a kilogram, where the stock tells every price. */
  readonly priceMinorPerKg?: number;
}

export interface Sought {
  /** By rising dE00. */
  readonly recipes: readonly FoundRecipe[];
  readonly alternatives: readonly {
    readonly reason: AlternativeReason;
    readonly recipe: FoundRecipe;
  }[];
  /** Recipes that none nearer beats in clays, parts and price alike. */
  readonly frontier: readonly FoundRecipe[];
  readonly shortfall?: Shortfall;
  readonly letDown?: LetDownFound;
  readonly tried: number;
  /** Clays of the stock that have not been learnt, and so are in no recipe. */
  readonly unlearnt: readonly string[];
  /** All there are, rules not counted off. */
  readonly total: number;
  /** Nothing better exists; false when it was stopped early. */
  readonly proven: boolean;
  readonly searchMs: number;
}

/**
 * The whole-part recipes of a set of clays that come nearest to an aim.
 * Refuses: unknown names; rules that contradict; a search too wide for the memory, or for trying
 *          every recipe -> bad-input
 * Returns: `shortfall` when the best is past the tolerance or no recipe keeps to the rules;
 *          `proven` false and the best so far when `ports.stopped` says so
 */
export async function seek(ports: Ports, call: SeekCall): Promise<Sought> {
  const { stockFile } = call;
  const clay = await openClay(ports, call.clay);
  if (stockFile === undefined) return seekIn(ports, clay, call);
  const stock = ports.readers.stock(await ports.files.read(stockFile), stockFile);
  return seekIn(ports, clay, { ...call, stock });
}

/** `seek` in a clay model at hand. */
export async function seekIn(
  ports: Ports,
  clay: OpenClay,
  question: SeekQuestion,
): Promise<Sought> {
  const plan = planOf(clay, question);
  const started = ports.nowMs();
  const start = question.exhaustive === true ? startExhaustiveSeek : startSeek;
  checkWidth(question, plan);
  const run = start(clay.predictor, plan.options);
  const proven = await finish(ports, run, 'looking for recipes');
  const searchMs = ports.nowMs() - started;
  const all = run.best();
  const recipes = all.slice(0, question.top).map((best) => found(clay, question, plan, best));
  const longer = proven ? await withFewerClays(ports, clay, plan, all) : all;
  const price = (recipe: CoreRecipe) => priceOf(plan, recipe);
  const shown = (recipe: CoreRecipe) => found(clay, question, plan, recipe);
  const others = alternativesTo(longer, question.tolerance, price);
  const best = all[0];
  const near = best !== undefined && best.dE00 <= question.tolerance;
  const shortfall =
    near || !proven ? undefined : await shortfallOf(ports, clay, question, plan, best);
  const letDown =
    plan.options.rules?.halfPart === undefined || !proven
      ? undefined
      : await letDownOf(ports, clay, plan, best);
  return {
    recipes,
    alternatives: others.map(({ reason, recipe }) => ({ reason, recipe: shown(recipe) })),
    frontier: frontierOf(longer, price).map(shown),
    ...(shortfall === undefined ? {} : { shortfall }),
    ...(letDown === undefined ? {} : { letDown }),
    unlearnt: (question.stock ?? [])
      .map(({ name }) => name)
      .filter((name) => !clay.indexOf.has(parentKey(name))),
    tried: run.tried,
    total: run.total,
    proven,
    searchMs,
  };
}

function checkWidth(question: SeekQuestion, { options }: SeekPlan): void {
  const { parents, mostParents, parts } = options;
  const total = countRecipes(parents.length, mostParents, parts);
  const ways = countCompositions(Math.min(mostParents, parts), parts);
  if (ways <= MOST_WAYS && (question.exhaustive !== true || total <= MOST_TRIED)) return;
  throw new AppError({
    code: 'seek-too-wide',
    kind: 'bad-input',
    detail: `That is ${total.toLocaleString('en')} recipes${question.exhaustive === true ? ' to try one by one, which would take many minutes' : ', more than can be looked through'}.`,
    hint: 'Allow fewer parts or parents, or name the clays to use.',
  });
}

/** The certified list, and beside it the best of every smaller number of clays. */
async function withFewerClays(
  ports: Ports,
  clay: OpenClay,
  plan: SeekPlan,
  all: readonly CoreRecipe[],
): Promise<readonly CoreRecipe[]> {
  const seen = new Set(all.map(keyOf));
  const more: CoreRecipe[] = [];
  for (let most = 1; most < plan.options.mostParents; most++) {
    const run = startSeek(clay.predictor, { ...plan.options, mostParents: most, top: 3 });
    if (!(await finish(ports, run, 'looking at fewer clays'))) break;
    for (const recipe of run.best()) if (!seen.has(keyOf(recipe))) more.push(recipe);
  }
  const distinct = new Map(more.map((recipe) => [keyOf(recipe), recipe]));
  return [...all, ...distinct.values()].sort((one, other) => one.dE00 - other.dE00);
}

function keyOf({ parts }: CoreRecipe): string {
  return parts
    .map(({ parent, parts }) => `${parent}:${parts}`)
    .sort()
    .join();
}

/** Minor units of money a kilogram, where every clay of it has a price. */
function priceOf({ stock, basis }: SeekPlan, { parts }: CoreRecipe): number | undefined {
  const weights = partWeights(
    stock,
    parts.map(({ parent }) => parent),
    basis,
  );
  let money = 0;
  let grams = 0;
  for (const { parent, parts: count } of parts) {
    const row = stock.get(parent);
    if (row?.priceMinorPerG === undefined) return undefined;
    // Prices are by weight: parts by volume weigh as their density says.
    const weight = count * (weights?.[parent] ?? 1);
    money += weight * row.priceMinorPerG;
    grams += weight;
  }
  return (1000 * money) / grams;
}

function found(
  clay: OpenClay,
  question: SeekQuestion,
  plan: SeekPlan,
  { parts, dE00 }: CoreRecipe,
): FoundRecipe {
  const weights = parts.map(({ parent, parts }) => parts * (plan.amounts?.[parent] ?? 1));
  const total = weights.reduce((sum, v) => sum + v, 0);
  const shares = parts.map(({ parent }, i) => ({ parent, share: weights[i] / total }));
  const { aim, viewing, tolerance } = question;
  const judged = [viewing, ...(question.otherViewings ?? [])].map((each) => {
    const { lab, shown, covariance } = foretoldMix(clay, shares, each);
    const wanted = labUnder(aim, viewing, each);
    return {
      lab,
      shown,
      verdict: verdict(wanted, lab, covariance),
      chance: chanceWithin(wanted, lab, covariance, tolerance),
    };
  });
  const [{ lab, shown }] = judged;
  const [farthest] = judged.toSorted((one, other) => other.verdict.dE00 - one.verdict.dE00);
  const times = timesOver(plan.options.parts, { parts });
  const price = priceOf(plan, { parts, lab, dE00 });
  return {
    parts: recipeOf(clay, parts),
    lab,
    dE00,
    plusMinus: farthest.verdict.plusMinus,
    verdict: farthest.verdict,
    chance: Math.min(...judged.map(({ chance }) => chance)),
    shown,
    ...(plan.options.rules?.halfPart !== undefined && times > 1 && parts.length > 1
      ? { times }
      : {}),
    ...(price === undefined ? {} : { priceMinorPerKg: Math.round(price) }),
  };
}
