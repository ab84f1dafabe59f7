import { labUnder, type Viewing } from '../core/colour/adaptation.ts';
import type { Lab } from '../core/colour/triples.ts';
import { colourWeights } from '../core/colour/weights.ts';
import { AppError } from '../core/errors.ts';
import { clayIndex } from '../core/find/known-clays.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import { type Recipe, sharesOf } from '../core/notation/notation.ts';
import { seededChance } from '../core/numeric/seeded-chance.ts';
import { startSearch } from '../core/search/search.ts';
import { startTrial, takeVerdict } from '../core/trial/by-eye.ts';
import {
  believedRecipe,
  bestRecipe,
  expectedErrorOf,
  proposeBalls,
} from '../core/trial/by-eye-expected-error.ts';
import type { WholeParts } from '../core/trial/whole-parts.ts';
import { READING_DEFAULTS } from '../domain/reading.ts';
import { checkBasis, type OpenClay, openClay } from './open-clay.ts';
import type { Ports, VerdictRow } from './ports.ts';

/** Bounds of what may be asked. */
export const TRY_LIMITS = {
  aimSpread: [0, 20],
  clays: [1, 6],
  parts: [1, 24],
} as const satisfies Record<string, readonly [number, number]>;

/** Past this many recipes one look would take more than half a minute. */
const MOST_RECIPES = 40_000_000;
/** One question has one answer: what is drawn hangs on nothing but the verdicts. */
const SEED = 1;

export interface TryCall {
  readonly clay: string;
  /** Under the light and observer of `viewing`. */
  readonly aim: Lab;
  /** How far the aim may be off, standard deviation an axis, CIELAB units. */
  readonly aimSpread: number;
  readonly viewing: Viewing;
  /** Path of the trials rolled so far. */
  readonly verdicts?: string;
  readonly mostClays: number;
  readonly parts: number;
  /** Names of the clays that may be used; all when absent. */
  readonly only?: readonly string[];
  readonly basis?: Basis;
}

export interface Ball {
  readonly parts: Recipe;
  /** Middle of what is believed of its colour. */
  readonly lab: Lab;
  /** D50 and 2 degree, for showing it. */
  readonly shown: Lab;
}

export interface Tried {
  /** Verdicts weighed. */
  readonly heard: number;
  /** Next to roll, or still waiting for a verdict; none when a ball looked the same. */
  readonly balls: readonly Ball[];
  /** Whether `balls` are the last row of the file, not yet judged. */
  readonly waiting: boolean;
  readonly best: Ball & {
    /** Mean dE00 between its colour and the aim that is to be expected. */
    readonly expected: number;
    readonly plusMinus: number;
    /** Chance that it lies within 1.8 of the aim. */
    readonly chance: number;
  };
  /** The last verdict called `best` the same as the original. */
  readonly same: boolean;
  /** Same, or the chance of a match is better than even. */
  readonly keep: boolean;
}

/**
 * Three little balls to roll and judge by eye, or the recipe to keep, by the verdicts so far.
 * Refuses: an unknown clay, the other basis, a file that cannot be read, each with its place; a search
 *          past MOST_RECIPES -> bad-input
 * Holds:   the same files and call give the same answer
 */
export async function tryBalls(ports: Ports, call: TryCall): Promise<Tried> {
  const { aim, aimSpread, viewing, parts, mostClays, verdicts } = call;
  const clay = await openClay(ports, call.clay);
  checkBasis(clay, call.basis ?? clay.file.basis, 2);
  const rows =
    verdicts === undefined
      ? []
      : ports.readers.verdicts(await ports.files.read(verdicts), verdicts);
  const rolled = rows.map((row) => ({ row, recipes: recipesOf(clay, row) }));
  const all = clay.file.clays.map((_, i) => i);
  const clays =
    call.only === undefined ? all : [...new Set(call.only.map((name) => clayIndex(clay, name)))];
  const weights = colourWeights(viewing.light, viewing.observer);
  checkWidth(startSearch(clay.predictor, { aim, weights, clays, mostClays, parts, top: 1 }).total);
  const chance = seededChance(SEED);
  const variance = aimSpread ** 2;
  const partsSpread = READING_DEFAULTS.partsSpreadOfMix;
  let trial = startTrial(
    clay.predictor,
    { lab: aim, covariance: [variance, 0, 0, 0, variance, 0, 0, 0, variance] },
    { weights, clays, mostClays, parts, partsSpread },
    chance,
  );
  for (const [done, { row, recipes }] of rolled.entries()) {
    ports.progress({ what: 'weighing verdicts', done, total: rolled.length });
    await ports.breathe();
    if (row.verdict !== undefined) trial = takeVerdict(trial, recipes, row.verdict, chance);
  }
  ports.progress({ what: 'choosing balls' });
  await ports.breathe();
  const last = rolled.at(-1);
  const said = last?.row.verdict;
  const same =
    last !== undefined && typeof said?.nearest === 'number' && said.how?.includes('same') === true
      ? last.recipes[said.nearest]
      : undefined;
  const waiting = last !== undefined && said === undefined;
  const outlook = expectedErrorOf(trial, chance, last?.recipes ?? []);
  const show = (recipe: WholeParts) =>
    ballOf(clay, recipe, believedRecipe(outlook, recipe).lab, viewing);
  const found = same === undefined ? bestRecipe(outlook) : believedRecipe(outlook, same);
  const keep = !waiting && (same !== undefined || found.chanceOfMatch > 0.5);
  const next = waiting ? last.recipes : proposeBalls(outlook);
  const { expected, plusMinus, chanceOfMatch } = found;
  return {
    heard: trial.verdicts.length,
    waiting,
    balls: same === undefined ? next.map(show) : [],
    best: { ...show(found.recipe), expected, plusMinus, chance: chanceOfMatch },
    same: same !== undefined,
    keep,
  };
}

function recipesOf(clay: OpenClay, { balls, place }: VerdictRow): WholeParts[] {
  const where = `${place.file}, line ${place.line}: `;
  return balls.map((ball) => {
    const counts = new Map<number, number>();
    for (const { clay: name, parts } of ball) {
      const index = clayIndex(clay, name, where);
      counts.set(index, (counts.get(index) ?? 0) + parts);
    }
    sharesOf(ball);
    return [...counts].map(([clay, parts]) => ({ clay, parts }));
  });
}

function ballOf(clay: OpenClay, recipe: WholeParts, lab: Lab, viewing: Viewing): Ball {
  return {
    parts: recipe
      .map(({ clay: index, parts }) => ({ clay: clay.file.clays[index].name, parts }))
      .sort((one, other) => other.parts - one.parts),
    lab,
    shown: labUnder(lab, viewing, { light: 'D50', observer: 2 }),
  };
}

function checkWidth(total: number): void {
  if (total <= MOST_RECIPES) return;
  throw new AppError({
    code: 'try-too-wide',
    kind: 'bad-input',
    detail: `That is ${total.toLocaleString('en')} recipes to look at, which would take minutes.`,
    hint: 'Allow fewer parts or clays, or name the clays with --only.',
  });
}
