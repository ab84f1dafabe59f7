import { EigenvalueDecomposition, Matrix } from 'ml-matrix';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { choleskyInPlace, forward } from '../numeric/dense-cholesky.ts';
import type { ClayModel } from './clay-model.ts';
import { type ColourPrediction, openModel, predictMix } from './predict.ts';

/** A mix by names and shares, so that two models can both predict it. */
export type NamedMix = readonly { readonly clay: string; readonly share: number }[];

/** How the prediction of one mix moved when further tiles were learned. */
export interface MovedMix {
  readonly mix: NamedMix;
  readonly before: Lab;
  readonly after: Lab;
  readonly dE00: number;
  /** Size of the ± of the older model and of the newer one, CIELAB units. */
  readonly plusMinus: { readonly before: number; readonly after: number };
  /**
   * Length of the move in standard deviations of what was uncertain in the older model: its
   * covariance less the newer one's. About 1.6 on average for a true ± where much was learned;
   * above 3.4 one time in a hundred.
   */
  readonly surprise: number;
}

export interface ModelChanges {
  /** Mixes both models can predict, the most surprising first. */
  readonly moved: readonly MovedMix[];
  /** Those that moved more than the older ± allows. */
  readonly surprising: readonly MovedMix[];
  /** Those whose ± is clearly smaller now, and clearly larger, the largest change first. */
  readonly surer: readonly MovedMix[];
  readonly lessSure: readonly MovedMix[];
  /** Clays the older model did not hold, and those the newer one no longer holds. */
  readonly added: readonly string[];
  readonly gone: readonly string[];
}

/** Root of the value that a chi-squared variable of three degrees exceeds once in a hundred. */
const SURPRISE = Math.sqrt(11.345);
/** An invisible move is no surprise: perceptible to half of observers, [Paravina2015]. */
const VISIBLE = 0.8;
/** Factor between two ± from which one is clearly larger, and the least difference worth a word. */
const CLEARLY = 1.25;
const SEEN = 0.3;
/**
 * Least share of the older variance that a move is measured against, in any direction. Where
 * nothing was learned, before - after is 0, and rounding or a changed family would look like a
 * surprise.
 */
const LEAST_OPEN = 0.1;

/**
 * What further tiles changed: by how far the predictions of some mixes moved, and which moved more
 * than the older ± allows. Such a move means that the older model was too certain, or that tiles
 * disagree with each other. A single tile that the fit sets aside as an outlier moves nothing; the
 * report of the fit names it.
 * Shape:   two models, any number of mixes by name; mixes with a clay that either model lacks are
 *          left out (their clays are in `added` and `gone`)
 * Holds:   for a linear model with a true ±, a move has covariance before - after. Of mixes of
 *          paints left out of the prior 0.4 to 1.7 % surprise, 1.1 % in all
 * Method:  both models predict under D50 and 2 degrees, with the gloss as the newer model sees it
 */
export function modelChanges(
  before: ClayModel,
  after: ClayModel,
  mixes: readonly NamedMix[],
): ModelChanges {
  const older = predictorOf(before, after.geometry);
  const newer = predictorOf(after, after.geometry);
  const moved = mixes
    .filter((mix) => mix.every(({ clay }) => older.index.has(clay) && newer.index.has(clay)))
    .map((mix): MovedMix => {
      const was = older.predict(mix);
      const is = newer.predict(mix);
      return {
        mix,
        before: was.lab,
        after: is.lab,
        dE00: deltaE2000(was.lab, is.lab),
        plusMinus: { before: sizeOf(was), after: sizeOf(is) },
        surprise: lengthOfMove(was, is),
      };
    })
    .sort((a, b) => b.surprise - a.surprise);
  return {
    moved,
    surprising: moved.filter((m) => m.surprise > SURPRISE && m.dE00 > VISIBLE),
    surer: byChange(moved, ({ before, after }) => before / after),
    lessSure: byChange(moved, ({ before, after }) => after / before),
    added: [...newer.index.keys()].filter((name) => !older.index.has(name)),
    gone: [...older.index.keys()].filter((name) => !newer.index.has(name)),
  };
}

/** Mixes whose ± changed clearly by this measure, and by more than the eye can see. */
function byChange(
  moved: readonly MovedMix[],
  factor: (plusMinus: MovedMix['plusMinus']) => number,
): MovedMix[] {
  return moved
    .filter(
      ({ plusMinus }) =>
        factor(plusMinus) > CLEARLY && Math.abs(plusMinus.after - plusMinus.before) > SEEN,
    )
    .sort((a, b) => factor(b.plusMinus) - factor(a.plusMinus));
}

function sizeOf({ covariance: c }: ColourPrediction): number {
  return Math.sqrt(c[0] + c[4] + c[8]);
}

/** Mixes for comparing stocks: every clay alone and at 1:3 with the white of its model. */
export function everydayMixes(model: ClayModel): NamedMix[] {
  const white = model.clays.find((clay) => clay.pinned)?.name;
  return model.clays.flatMap(({ name }): NamedMix[] => {
    const alone = [{ clay: name, share: 1 }];
    if (white === undefined || white === name) return [alone];
    return [
      alone,
      [
        { clay: name, share: 0.25 },
        { clay: white, share: 0.75 },
      ],
    ];
  });
}

function predictorOf(model: ClayModel, geometry: ClayModel['geometry']) {
  const predictor = openModel(model);
  const index = new Map(model.clays.map((clay, i) => [clay.name, i]));
  const options = { weights: colourWeights('D50', 2), geometry, partsSpread: 0 };
  const predict = (mix: NamedMix): ColourPrediction =>
    predictMix(
      predictor,
      mix.map(({ clay, share }) => ({ clay: index.get(clay)!, share })),
      options,
    );
  return { index, predict };
}

/**
 * Length of a move measured by what was uncertain in the older model. In axes where the older
 * covariance is the unit, before - after is diagonal: 1 where the newer model knows all, 0 where it
 * learned nothing.
 */
function lengthOfMove(was: ColourPrediction, is: ColourPrediction): number {
  const root = Float64Array.from(was.covariance);
  choleskyInPlace(root, 3);
  const left = Float64Array.from(is.covariance);
  forward(root, left, 3, 3);
  const turned = Matrix.from1DArray(3, 3, left).transpose().to1DArray();
  const rest = Float64Array.from(turned);
  forward(root, rest, 3, 3);
  const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(
    Matrix.from1DArray(3, 3, rest),
    { assumeSymmetric: true },
  );
  const move = Float64Array.from(is.lab, (v, i) => v - was.lab[i]);
  forward(root, move, 3, 1);
  const squares = realEigenvalues.map((remains, axis) => {
    const along = eigenvectorMatrix.getColumn(axis).reduce((sum, v, i) => sum + v * move[i], 0);
    return along ** 2 / Math.max(1 - remains, LEAST_OPEN);
  });
  return Math.sqrt(squares.reduce((sum, v) => sum + v, 0));
}
