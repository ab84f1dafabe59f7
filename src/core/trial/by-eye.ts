import { drawnMixColours, type RolledBall } from '../belief/drawn-colours.ts';
import { type ClayUnknowns, clayDrawer, drawUnknowns, unknownsOf } from '../belief/draws.ts';
import { resampled } from '../belief/resampled.ts';
import { sliceMove, type WeighedDraw } from '../belief/slice-move.ts';
import type { Predictor } from '../clay/predict.ts';
import type { Lab } from '../colour/triples.ts';
import type { ColourWeights } from '../colour/weights.ts';
import { invalidInput } from '../errors.ts';
import { byParts, isSameRecipe, type WholeParts } from '../mixes/whole-parts.ts';
import { covarianceRoot } from '../numeric/covariance-root.ts';
import type { Chance } from '../numeric/seeded-chance.ts';
import type { Gloss } from '../optics/surface.ts';
import { EYE_WORDS, type EyeVerdict, logChanceOfVerdict } from './by-eye-observer.ts';
import { type ChanceOfAim, chanceOfAim } from './makeable-colours.ts';

/** An aim that is itself uncertain, such as one tapped in a picture. */
export interface RoughAim {
  readonly lab: Lab;
  /** 3 x 3 by rows, CIELAB units squared. */
  readonly covariance: ArrayLike<number>;
}

export interface TrialOptions {
  /** Light and observer of the aim; the program itself uses `colourWeights('D50', 2)`. */
  readonly weights: ColourWeights;
  readonly geometry?: Gloss;
  /** Clays to mix from, by index; all when absent. */
  readonly clays?: readonly number[];
  /** Most different clays, and most whole parts, of one test ball. */
  readonly mostClays: number;
  readonly parts: number;
  /** Relative standard deviation of a part measured out by hand for a test ball. */
  readonly partsSpread: number;
  /** How many draws represent the belief; 240 when absent. */
  readonly draws?: number;
  /** False: verdicts move the aim only, and the clays stay as they were learned. For comparison. */
  readonly learnsClays?: boolean;
  /** False: nothing is assumed of whether the clays can make the aim. For comparison. */
  readonly canBeMade?: boolean;
}

/**
 * The belief about clays and aim after some verdicts. Replaced by every verdict, never edited in
 * place.
 */
export interface Trial {
  readonly options: TrialOptions;
  readonly aim: Lab;
  readonly unknowns: ClayUnknowns;
  /** How likely clays and aim are together, before any verdict. */
  readonly chanceOfAim: ChanceOfAim;
  /** Draws of all unknowns, each as likely as any other. */
  readonly draws: readonly Float64Array[];
  readonly verdicts: readonly {
    readonly balls: readonly RolledBall[];
    readonly verdict: EyeVerdict;
  }[];
  /**
   * Share of the draws that still had weight after the last verdict, before they were drawn again.
   */
  readonly effective: number;
}

const DRAWS = 240;
/**
 * Moves of each draw after a verdict; twenty give the same ± as three, and nearly the same recipes.
 */
const MOVES = 3;

/**
 * The belief before any test ball was rolled: clays around the optimum of their model, the aim
 * around its reading.
 * Shape:   a model, an aim with its covariance -> a trial of 240 draws
 * Refuses: a covariance that is none, a clay that is not in the model, counts that are not whole
 *          and positive -> invalid-input
 */
export function startTrial(
  predictor: Predictor,
  aim: RoughAim,
  options: TrialOptions,
  chance: Chance,
): Trial {
  const { model } = predictor;
  const count = options.draws ?? DRAWS;
  for (const value of [options.mostClays, options.parts, count]) {
    if (!Number.isInteger(value) || value < 1) {
      throw invalidInput(`A trial was given ${value} instead of a whole number from 1.`);
    }
  }
  const clays = options.clays ?? model.clays.map((_, i) => i);
  if (clays.length === 0 || clays.some((p) => model.clays[p] === undefined)) {
    throw invalidInput('A trial needs clays that are in the clay model.');
  }
  if (!aim.lab.every(Number.isFinite))
    throw invalidInput('An aim contains a value that is not a number.');
  const learnsClays = options.learnsClays ?? true;
  const unknowns = unknownsOf(
    predictor,
    options.weights,
    covarianceRoot(aim.covariance),
    learnsClays,
  );
  const draws = Array.from({ length: count }, () =>
    drawUnknowns(unknowns, unknowns.modelSize, chance),
  );
  const geometry = options.geometry ?? model.geometry;
  const start: Trial = {
    options,
    aim: aim.lab,
    unknowns,
    chanceOfAim:
      options.canBeMade === false
        ? () => 0
        : chanceOfAim(unknowns, geometry, clays, aim.lab, draws, chance),
    draws,
    verdicts: [],
    effective: 1,
  };
  return options.canBeMade === false
    ? start
    : { ...start, ...weighed(start, draws, [], [], chance) };
}

/**
 * The belief after one more verdict on test balls that were compared with the original.
 * Shape:   test balls in the order the verdict counts them, any recipes of the model's clays
 * Refuses: no test ball, a verdict on one that does not exist, unknown words -> invalid-input
 * Method:  the verdict weights the draws; they are drawn again by weight and each is moved along
 *          slices weighted by all verdicts so far, so that no draw represents many. Exact but for
 *          chance
 * Holds:   the draws are equally likely again; the given trial is unchanged
 * Source:  resample and move [GilksBerzuini2001], elliptical slices [Murray2010]
 */
export function takeVerdict(
  trial: Trial,
  recipes: readonly WholeParts[],
  verdict: EyeVerdict,
  chance: Chance,
): Trial {
  checkVerdict(trial, recipes, verdict);
  const before = trial.draws[0].length;
  let length = before;
  const balls = recipes.map((recipe): RolledBall => {
    const known = trial.verdicts
      .flatMap((t) => t.balls)
      .find((ball) => isSameRecipe(ball.recipe, recipe));
    // The same recipe departs in the same way every time it is rolled; the hand does not.
    const departureAt = known?.departureAt ?? length;
    if (known === undefined) length += recipe.length;
    const handAt = length;
    length += recipe.length;
    return { recipe: known?.recipe ?? byParts(recipe), departureAt, handAt };
  });
  const verdicts = [...trial.verdicts, { balls, verdict }];
  const longer = trial.draws.map((draw) => {
    const copy = new Float64Array(length);
    copy.set(draw);
    for (let k = before; k < length; k++) copy[k] = chance.normal();
    return copy;
  });
  return {
    ...trial,
    verdicts,
    ...weighed(trial, longer, [...verdicts].slice(-1), verdicts, chance),
  };
}

/**
 * Draws resampled by what is new, the last verdict or that the aim can be made, and each moved along slices
 * weighted by everything.
 */
function weighed(
  trial: Trial,
  draws: readonly Float64Array[],
  news: Trial['verdicts'],
  verdicts: Trial['verdicts'],
  chance: Chance,
): Pick<Trial, 'draws' | 'effective'> {
  const judge = judgeOf(trial);
  const logs = draws.map((draw) =>
    news.length === 0 ? judge(draw, []) : judge(draw, news) - judge(draw, []),
  );
  const most = Math.max(...logs);
  const weights = logs.map((log) => Math.exp(log - most));
  const sum = weights.reduce((total, w) => total + w, 0);
  const effective = sum ** 2 / weights.reduce((total, w) => total + w * w, 0) / weights.length;
  const height = (draw: Float64Array) => judge(draw, verdicts);
  const moved = resampled(draws, weights, chance).map((start) => {
    let at: WeighedDraw = { draw: start, height: height(start) };
    for (let move = 0; move < MOVES; move++) {
      const other = drawUnknowns(trial.unknowns, start.length, chance);
      at = sliceMove(at, other, height, chance);
    }
    return at.draw;
  });
  return { draws: moved, effective };
}

/** Logarithm of the chance of clays, aim and verdicts together under one draw. */
function judgeOf({ options, unknowns, aim, chanceOfAim }: Trial) {
  const geometry = options.geometry ?? unknowns.predictor.model.geometry;
  const colourInto = drawnMixColours(unknowns, geometry, options.partsSpread);
  const claysOf = clayDrawer(unknowns);
  const out = new Float64Array(3);
  return (draw: Float64Array, verdicts: Trial['verdicts']): number => {
    const clays = claysOf(draw);
    const original = aimOf(unknowns, aim, draw);
    let sum = chanceOfAim(clays, draw, original);
    for (const { balls, verdict } of verdicts) {
      const colours = balls.map((ball): Lab => {
        colourInto(out, clays, draw, ball.recipe, ball, undefined);
        return [out[0], out[1], out[2]];
      });
      sum += logChanceOfVerdict(original, colours, verdict);
    }
    return sum;
  };
}

/** The true aim under one draw. */
export function aimOf({ aimAt }: ClayUnknowns, aim: Lab, draw: Float64Array): Lab {
  return [aim[0] + draw[aimAt], aim[1] + draw[aimAt + 1], aim[2] + draw[aimAt + 2]];
}

function checkVerdict(
  { unknowns }: Trial,
  recipes: readonly WholeParts[],
  { nearest, how = [], much = {} }: EyeVerdict,
): void {
  const { clays } = unknowns.predictor.model;
  for (const recipe of recipes) {
    const known = recipe.every(({ clay, parts }) => clays[clay] !== undefined && parts > 0);
    if (recipe.length === 0 || !known || new Set(recipe.map((p) => p.clay)).size < recipe.length) {
      throw invalidInput(
        'A test ball needs clays of the clay model, none twice, and parts above 0.',
      );
    }
  }
  if (recipes.length === 0 || (nearest !== 'none' && recipes[nearest] === undefined)) {
    throw invalidInput('A verdict names a test ball that was not rolled.');
  }
  const strange = how.find((word) => !EYE_WORDS.includes(word));
  if (strange !== undefined) throw invalidInput(`A verdict holds the word "${strange}".`);
  const unsaid = Object.keys(much).find((word) => !how.some((said) => said === word));
  if (unsaid !== undefined)
    throw invalidInput(`A verdict says how much ${unsaid}, but not ${unsaid}.`);
}
