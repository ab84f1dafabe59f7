import type { Predictor } from '../clay/predict.ts';
import { labOfName } from '../colour/colour-name.ts';
import { deltaE2000 } from '../colour/difference.ts';
import { HOUSE_VIEWING } from '../colour/house-viewing.ts';
import { ISCC_NBS } from '../colour/iscc-nbs.data.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { predictViewed } from '../find/predicted-mix.ts';
import { withImagined } from '../search/missing-clay.ts';
import { verdictLimit } from '../verdict/verdict.ts';
import { closestOf } from './edge.ts';
import { coloursWith } from './mixed-colours.ts';

/** A colour that a block could have. */
export interface PossibleColour {
  readonly name: string;
  readonly lab: Lab;
}

/**
 * Every colour that has a name of its own and is no mix of some clays: what a block not owned could look like.
 * Method:  middles of the ISCC-NBS blocks, so that no colour is stronger than real surfaces are
 * Source:  [Kelly1958]
 */
export function coloursOutside(mixes: readonly Lab[]): readonly PossibleColour[] {
  const close = verdictLimit('close');
  return ISCC_NBS.map(([, name], place) => ({ name, lab: labOfName(place) })).filter(
    ({ lab }) => (closestOf(mixes, lab)?.dE00 ?? Number.POSITIVE_INFINITY) > close,
  );
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
