import { lchFromLab } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import { invalidInput } from '../errors.ts';
import { sidesOf } from './verdict.ts';

/** One colour a mix may come out as. */
export interface LikelyColour {
  readonly side: 'darker' | 'lighter' | 'duller' | 'brighter' | 'backward' | 'onward';
  /** The side in words; absent where nothing is unsure on it. */
  readonly word?: string;
  readonly lab: Lab;
}

/** Standard deviations beyond which 1 in 20 falls, on one side of the normal law. */
const ONE_IN_TWENTY = 1.645;
/** Below this chroma a colour has no hue; the sides are then those of a and b. */
const GREYISH = 1;

/**
 * Six colours a mix may come out as: along lightness, chroma and hue the one beyond which 1 in 20 falls.
 * Shape:   Lab, covariance 3 x 3 by rows -> six colours; `onward` is the side of rising hue angle
 * Holds:   each lies on the surface where x' C^-1 x = 1.645^2: farthest along d is C d / sqrt(d' C d),
 *          so that what errs together is seen together. No ± gives six times the colour itself
 * Refuses: a covariance with a number that is not finite -> invalid-input
 * Source:  support point of an ellipsoid, exact
 */
export function likelyColours(lab: Lab, covariance: ArrayLike<number>): readonly LikelyColour[] {
  if (!Array.from(covariance).every(Number.isFinite)) {
    throw invalidInput('The uncertainty of a colour is not a number.');
  }
  const [, chroma, hue] = lchFromLab(lab);
  const radians = chroma < GREYISH ? 0 : (hue * Math.PI) / 180;
  const [ca, cb] = [Math.cos(radians), Math.sin(radians)];
  const ways = [
    ['darker', [-1, 0, 0]],
    ['lighter', [1, 0, 0]],
    ['duller', [0, -ca, -cb]],
    ['brighter', [0, ca, cb]],
    ['backward', [0, cb, -ca]],
    ['onward', [0, -cb, ca]],
  ] as const;
  return ways.map(([side, way]) => {
    const pull = [0, 1, 2].map((row) =>
      way.reduce((sum, v, column) => sum + covariance[row * 3 + column] * v, 0),
    );
    const variance = way.reduce((sum, v, i) => sum + v * pull[i], 0);
    if (variance <= 0) return { side, lab };
    const step = ONE_IN_TWENTY / Math.sqrt(variance);
    const light = Math.min(100, Math.max(0, lab[0] + step * pull[0]));
    const reach = ONE_IN_TWENTY * Math.sqrt(variance);
    const end: Lab = [lab[0] + reach * way[0], lab[1] + reach * way[1], lab[2] + reach * way[2]];
    const word = sidesOf(lab, end)[0].word;
    return { side, word, lab: [light, lab[1] + step * pull[1], lab[2] + step * pull[2]] };
  });
}
