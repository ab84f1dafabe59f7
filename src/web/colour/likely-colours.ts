import { lchFromLab } from '../../core/colour/spaces.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { invalidInput } from '../../core/errors.ts';

/** One colour a mix is likely to have. */
export interface LikelyColour {
  readonly side: 'lighter' | 'darker' | 'brighter' | 'duller' | 'onward' | 'backward';
  readonly lab: Lab;
}

/** Below this chroma a colour has no hue; the sides are then those of a and b. */
const GREYISH = 1;

/**
 * The six colours farthest along lightness, chroma and hue among those within one standard
 * deviation.
 * Shape:   Lab, covariance 3 x 3 by rows -> six colours; `onward` is the side of rising hue angle
 * Holds:   each lies on the surface where x' C^-1 x = 1: farthest along d is C d / sqrt(d' C d), so
 *          what errs together is seen together. No ± gives six times the colour itself
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
    ['lighter', [1, 0, 0]],
    ['darker', [-1, 0, 0]],
    ['brighter', [0, ca, cb]],
    ['duller', [0, -ca, -cb]],
    ['onward', [0, -cb, ca]],
    ['backward', [0, cb, -ca]],
  ] as const;
  return ways.map(([side, way]) => {
    const pull = [0, 1, 2].map((row) =>
      way.reduce((sum, v, column) => sum + covariance[row * 3 + column] * v, 0),
    );
    const variance = way.reduce((sum, v, i) => sum + v * pull[i], 0);
    const scale = variance > 0 ? 1 / Math.sqrt(variance) : 0;
    const light = Math.min(100, Math.max(0, lab[0] + scale * pull[0]));
    return { side, lab: [light, lab[1] + scale * pull[1], lab[2] + scale * pull[2]] };
  });
}
