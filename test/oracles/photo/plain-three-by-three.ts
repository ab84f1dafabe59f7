import { deltaE2000 } from '../../../src/core/colour/difference.ts';
import { labFromXyz, xyzFromLab } from '../../../src/core/colour/spaces.ts';
import type { Lab, Xyz } from '../../../src/core/colour/triples.ts';
import { colourWeights } from '../../../src/core/colour/weights.ts';

const white = colourWeights('D50', 2).white;

/**
 * The plain rival: 3 x 3 by least squares in XYZ, each patch predicted from the others.
 * Shape:   linear light and known Lab of patches -> dE00 of each
 */
export function plainLeaveOneOut(
  light: readonly (readonly number[])[],
  labs: readonly Lab[],
): number[] {
  return labs.map((lab, out) => {
    const normal = new Float64Array(9);
    const right = new Float64Array(9);
    labs.forEach((other, i) => {
      if (i === out) return;
      const xyz = xyzFromLab(other, white);
      for (let a = 0; a < 3; a++) {
        for (let b = 0; b < 3; b++) normal[3 * a + b] += light[i][a] * light[i][b];
        for (let x = 0; x < 3; x++) right[3 * a + x] += light[i][a] * xyz[x];
      }
    });
    const inverse = inverse3(normal);
    const xyz = [0, 1, 2].map((x) => {
      let sum = 0;
      for (let a = 0; a < 3; a++) {
        for (let b = 0; b < 3; b++) sum += light[out][a] * inverse[3 * a + b] * right[3 * b + x];
      }
      return sum;
    });
    return deltaE2000(labFromXyz(xyz as unknown as Xyz, white), lab);
  });
}

function inverse3(m: Float64Array): number[] {
  const minor = (r: number, c: number) => {
    const [r1, r2] = [(r + 1) % 3, (r + 2) % 3];
    const [c1, c2] = [(c + 1) % 3, (c + 2) % 3];
    return m[3 * r1 + c1] * m[3 * r2 + c2] - m[3 * r1 + c2] * m[3 * r2 + c1];
  };
  const determinant = m[0] * minor(0, 0) + m[1] * minor(0, 1) + m[2] * minor(0, 2);
  return Array.from({ length: 9 }, (_, i) => minor(i % 3, Math.floor(i / 3)) / determinant);
}
