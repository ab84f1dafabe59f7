import type { Predictor } from '../clay/predict.ts';
import { colourName, labOfName } from '../colour/colour-name.ts';
import { deltaE2000 } from '../colour/difference.ts';
import { closestOf } from '../colour/edge.ts';
import { HOUSE_VIEWING } from '../colour/house-viewing.ts';
import { ISCC_NBS } from '../colour/iscc-nbs.data.ts';
import { asPaint } from '../colour/paint-range.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { predictViewed } from '../find/predicted-mix.ts';
import { withImagined } from '../search/missing-clay.ts';
import { verdictLimit } from '../verdict/verdict.ts';
import { coloursWith } from './mixed-colours.ts';

/** A colour that a block could have. */
export interface PossibleColour {
  readonly name: string;
  readonly lab: Lab;
}

/**
 * Colours that a block could have and that are no mix of some clays: what a block not owned could look like.
 * Method:  the wanted colours, and the middles of the ISCC-NBS blocks, each no stronger than a paint can be
 * Source:  [Kelly1958] for the middles
 */
export function coloursOutside(
  mixes: readonly Lab[],
  wanted: readonly Lab[] = [],
): readonly PossibleColour[] {
  const close = verdictLimit('close');
  const isOutside = (lab: Lab) => (closestOf(mixes, lab)?.dE00 ?? Number.POSITIVE_INFINITY) > close;
  return [...wanted, ...ISCC_NBS.map((_, place) => labOfName(place))]
    .map((lab) => asPaint(lab))
    .filter(isOutside)
    .map((lab) => ({ name: colourName(lab).name, lab }));
}

/**
 * What a block of a given colour would add to some clays.
 * Shape:   clays -> a function from a colour to the colours of its mixes with them
 * Returns: undefined where no smooth spectrum has the colour
 */
export function imaginedBeside(
  predictor: Predictor,
  clays: readonly number[],
): (lab: Lab) => readonly Lab[] | undefined {
  const weights = colourWeights(HOUSE_VIEWING.light, HOUSE_VIEWING.observer);
  const alone = clays.map((clay) => predictViewed(predictor, [{ clay, share: 1 }], HOUSE_VIEWING));
  return (lab) => {
    const [first, ...rest] = alone;
    if (first === undefined) return [lab];
    const { spectrum } = rest.reduce(
      (closest, one) => (deltaE2000(lab, one.lab) < deltaE2000(lab, closest.lab) ? one : closest),
      first,
    );
    const made = withImagined(predictor, lab, spectrum, weights);
    if (made === undefined) return undefined;
    return coloursWith(made.predictor, predictor.model.clays.length, clays);
  };
}
