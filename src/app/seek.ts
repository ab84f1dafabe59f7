import { chanceWithin } from '../core/clay/chance.ts';
import type { Viewing } from '../core/colour/adaptation.ts';
import type { Lab } from '../core/colour/triples.ts';
import { colourWeights } from '../core/colour/weights.ts';
import { AppError } from '../core/errors.ts';
import type { Recipe } from '../core/recipe/notation.ts';
import { startSeek } from '../core/recipe/seek.ts';
import type { SeekRun } from '../core/recipe/seek-options.ts';
import { type Side, sidesOf, type Verdict, verdict } from '../core/recipe/verdict.ts';
import { checkBasis, type OpenClay, openClay, parentIndex } from './open-clay.ts';
import type { Basis, Ports } from './ports.ts';
import { foretoldMix } from './predict.ts';

/** Bounds of what may be asked; past them a search would not end or a recipe not be cut. */
export const SEEK_LIMITS = {
  tolerance: [0.01, 100],
  parents: [1, 8],
  parts: [1, 100],
  top: [1, 1000],
} as const satisfies Record<string, readonly [number, number]>;

/** A search past this many recipes would run for minutes; it is refused with what would help. */
const MOST_RECIPES = 400_000_000;
/** What may be tried on the side to say what would help. */
const ASIDE_RECIPES = 3_000_000;
const STEP_RECIPES = 200_000;

export interface SeekCall {
  readonly clay: string;
  /** Under the light and observer of `viewing`. */
  readonly aim: Lab;
  readonly viewing: Viewing;
  /** dE00 up to which a recipe answers the question. */
  readonly tolerance: number;
  readonly mostParents: number;
  /** Most whole parts of one recipe. */
  readonly parts: number;
  readonly top: number;
  /** Names of the clays that may be used; all when absent. */
  readonly only?: readonly string[];
  readonly basis?: Basis;
}

export interface FoundRecipe {
  /** Most parts first. */
  readonly parts: Recipe;
  readonly lab: Lab;
  readonly dE00: number;
  readonly plusMinus: number;
  readonly verdict: Verdict;
  /** That its true colour lies within the tolerance, by its ±; 0-1. */
  readonly chance: number;
  /** D50 and 2 degree, for showing it. */
  readonly shown: Lab;
}

/** The best there is when nothing is within tolerance: an answer, no fault. */
export interface Shortfall {
  readonly dE00: number;
  /** How the best departs from the aim, the largest first. */
  readonly sides: readonly Side[];
  /** What was tried beside the question, and would make it a yes or come nearer. */
  readonly helps: readonly Help[];
}

export interface Help {
  readonly kind: 'all-clays' | 'more-parts' | 'more-parents';
  /** The value of the option that was tried. */
  readonly value: number;
  readonly recipe: Recipe;
  readonly dE00: number;
}

export interface Sought {
  /** By rising dE00. */
  readonly recipes: readonly FoundRecipe[];
  readonly shortfall?: Shortfall;
  readonly tried: number;
  readonly searchMs: number;
}

/**
 * The whole-part recipes of a set of clays that come nearest to an aim.
 * Refuses: an unknown name in `only`; numbers outside SEEK_LIMITS; a search past MOST_RECIPES
 *          -> bad-input
 * Returns: `shortfall` when the best is past the tolerance
 */
export async function seek(ports: Ports, call: SeekCall): Promise<Sought> {
  const clay = await openClay(ports, call.clay);
  checkBasis(clay, call.basis ?? clay.file.basis, 2);
  const all = clay.file.parents.map((_, i) => i);
  const allowed =
    call.only === undefined ? all : [...new Set(call.only.map((name) => parentIndex(clay, name)))];
  const plan: Plan = { allowed, mostParents: call.mostParents, parts: call.parts, top: call.top };
  const started = ports.nowMs();
  const run = begin(clay, call, plan);
  if (run.total > MOST_RECIPES) throw tooMany(run.total);
  await finish(ports, run, 'trying recipes');
  const searchMs = ports.nowMs() - started;
  const recipes = run.best().map((best) => found(clay, call, best.parts, best.dE00));
  const best = recipes[0];
  if (best === undefined || best.dE00 <= call.tolerance) {
    return { recipes, tried: run.tried, searchMs };
  }
  const helps = await helpsFor(ports, clay, call, plan, best.dE00);
  const shortfall = { dE00: best.dE00, sides: sidesOf(call.aim, best.lab), helps };
  return { recipes, shortfall, tried: run.tried, searchMs };
}

interface Plan {
  readonly allowed: readonly number[];
  readonly mostParents: number;
  readonly parts: number;
  readonly top: number;
}

function begin(clay: OpenClay, { aim, viewing }: SeekCall, plan: Plan): SeekRun {
  return startSeek(clay.predictor, {
    aim,
    weights: colourWeights(viewing.light, viewing.observer),
    parents: plan.allowed,
    mostParents: Math.min(plan.mostParents, plan.allowed.length),
    parts: plan.parts,
    top: plan.top,
  });
}

async function finish(ports: Ports, run: SeekRun, what: string): Promise<void> {
  while (!run.step(STEP_RECIPES)) {
    ports.progress({ what, done: run.tried, total: run.total });
    await ports.breathe();
  }
}

type WholeParts = readonly { readonly parent: number; readonly parts: number }[];

function recipeOf(clay: OpenClay, parts: WholeParts): Recipe {
  return parts
    .map(({ parent, parts }) => ({ parent: clay.file.parents[parent].name, parts }))
    .sort((one, other) => other.parts - one.parts);
}

function found(clay: OpenClay, call: SeekCall, parts: WholeParts, dE00: number): FoundRecipe {
  const total = parts.reduce((sum, part) => sum + part.parts, 0);
  const shares = parts.map(({ parent, parts }) => ({ parent, share: parts / total }));
  const { lab, covariance, plusMinus, shown } = foretoldMix(clay, shares, call.viewing);
  const judged = verdict(call.aim, lab, covariance);
  const chance = chanceWithin(call.aim, lab, covariance, call.tolerance);
  return { parts: recipeOf(clay, parts), lab, dE00, plusMinus, verdict: judged, chance, shown };
}

/** Tries what else she could allow, where that takes no more than a few seconds. */
async function helpsFor(
  ports: Ports,
  clay: OpenClay,
  call: SeekCall,
  plan: Plan,
  best: number,
): Promise<readonly Help[]> {
  const all = clay.file.parents.map((_, i) => i);
  const trials: { kind: Help['kind']; value: number; plan: Plan }[] = [];
  if (plan.allowed.length < all.length) {
    trials.push({ kind: 'all-clays', value: all.length, plan: { ...plan, allowed: all } });
  }
  const parts = plan.parts * 2;
  if (parts <= SEEK_LIMITS.parts[1]) {
    trials.push({ kind: 'more-parts', value: parts, plan: { ...plan, parts } });
  }
  const mostParents = plan.mostParents + 1;
  if (mostParents <= Math.min(plan.allowed.length, SEEK_LIMITS.parents[1], plan.parts)) {
    trials.push({ kind: 'more-parents', value: mostParents, plan: { ...plan, mostParents } });
  }
  const helps: Help[] = [];
  for (const trial of trials) {
    const run = begin(clay, call, { ...trial.plan, top: 1 });
    if (run.total > ASIDE_RECIPES) continue;
    await finish(ports, run, 'trying what would help');
    const [first] = run.best();
    // A tenth of a unit nearer is no help to anybody.
    if (first === undefined || first.dE00 > best - 0.1) continue;
    const recipe = recipeOf(clay, first.parts);
    helps.push({ kind: trial.kind, value: trial.value, recipe, dE00: first.dE00 });
  }
  return helps.sort((one, other) => one.dE00 - other.dE00);
}

function tooMany(total: number): AppError {
  return new AppError({
    code: 'seek-too-wide',
    kind: 'bad-input',
    detail: `That is ${total.toLocaleString('en')} recipes to try, which would take many minutes.`,
    hint: 'Allow fewer parts or parents, or name the clays with --only.',
  });
}
