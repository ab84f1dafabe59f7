import { classOf } from '../clay/clay-class.ts';
import { amountsOf } from '../clay/mixture.ts';
import { effectOffset, type Predictor } from '../clay/predict.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { mixEvaluator } from '../search/mix-evaluator.ts';

/** Steps into which mixes of two and three clays are divided: finer for few clays, at least twelfths. */
const STEPS = [60, 48, 36, 24, 12] as const;
/** Most colours calculated; past it triples are thinned evenly. */
const MOST = 150_000;
/** The same of mixes that hold one added clay, which are divided into eighths. */
const MOST_WITH = 6000;
const STEPS_WITH = 8;

/**
 * Colours of mixes of two and three clays, in twelfths or finer.
 * Shape:   indices into the model -> Lab, D50 and 2 degrees; each clay alone among them
 * Limits:  mixes of four and more clays reach slightly farther
 */
export function coloursOfMixes(
  predictor: Predictor,
  clays: readonly number[],
  most = MOST,
): readonly Lab[] {
  const colour = colourOfShares(predictor);
  const points = clays.map((clay) => colour([clay], [1]));
  const n = clays.length;
  const triples = (n * (n - 1) * (n - 2)) / 6;
  const ofTriples = (steps: number) => (triples * (steps - 1) * (steps - 2)) / 2;
  const steps = STEPS.find((some) => ofTriples(some) <= most) ?? 12;
  const every = Math.max(1, Math.ceil(ofTriples(steps) / most));
  let count = 0;
  for (let i = 0; i < n; i++)
    for (let j = i + 1; j < n; j++) {
      for (let a = 1; a < steps; a++)
        points.push(colour([clays[i], clays[j]], [a / steps, 1 - a / steps]));
      for (let k = j + 1; k < n; k++)
        for (let a = 1; a < steps - 1; a++)
          for (let b = 1; a + b < steps; b++) {
            if (count++ % every !== 0) continue;
            const rest = (steps - a - b) / steps;
            points.push(colour([clays[i], clays[j], clays[k]], [a / steps, b / steps, rest]));
          }
    }
  return points;
}

/** The colours that one clay adds: alone, and mixed with one and two others. */
export function coloursWith(
  predictor: Predictor,
  clay: number,
  others: readonly number[],
): readonly Lab[] {
  const colour = colourOfShares(predictor);
  const points = [colour([clay], [1])];
  const n = others.length;
  const ofPair = ((STEPS_WITH - 1) * (STEPS_WITH - 2)) / 2;
  const every = Math.max(1, Math.ceil(((n * (n - 1)) / 2) * (ofPair / MOST_WITH)));
  let count = 0;
  for (let i = 0; i < n; i++) {
    for (let a = 1; a < STEPS_WITH; a++)
      points.push(colour([clay, others[i]], [a / STEPS_WITH, 1 - a / STEPS_WITH]));
    for (let j = i + 1; j < n; j++)
      for (let a = 1; a < STEPS_WITH - 1; a++)
        for (let b = 1; a + b < STEPS_WITH; b++) {
          if (count++ % every !== 0) continue;
          const shares = [a, b, STEPS_WITH - a - b].map((part) => part / STEPS_WITH);
          points.push(colour([clay, others[i], others[j]], shares));
        }
  }
  return points;
}

/** The colour of clays by their shares, D50 and 2 degrees. */
function colourOfShares(
  predictor: Predictor,
): (set: readonly number[], shares: readonly number[]) => Lab {
  const { model, coefficients } = predictor;
  const bands = coefficients[0].absorption.length;
  const evaluator = mixEvaluator(colourWeights('D50', 2), model.geometry);
  const out = new Float64Array(3);
  const whites = new Float64Array(bands);
  const colours = new Float64Array(bands);
  const scattering = new Float64Array(bands);
  const classes = model.clays.map(({ clayClass }) => clayClass);
  return (set, shares) => {
    const parts = set.map((clay, i) => ({ clay, share: shares[i] }));
    whites.fill(0);
    colours.fill(0);
    scattering.fill(0);
    let colourShare = 0;
    amountsOf(parts, classes, model.physics.shareExponent).forEach(({ clay, share }) => {
      const { absorption, scattering: own } = coefficients[clay];
      const white = classOf(model, clay) === 'white';
      if (!white) colourShare += share;
      const into = white ? whites : colours;
      for (let band = 0; band < bands; band++) {
        into[band] += share * absorption[band];
        scattering[band] += share * own[band];
      }
    });
    const factor = colourShare > 0 ? colourShare ** model.physics.dilution : 1;
    evaluator.labInto(out, whites, colours, scattering, factor);
    const [dl, da, db] = effectOffset(model, parts);
    return [out[0] + dl, out[1] + da, out[2] + db];
  };
}
