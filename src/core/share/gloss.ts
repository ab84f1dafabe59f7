import { labFromXyz, xyzFromLab } from '../colour/spaces.ts';
import { type Lab, triple } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { claySurface, type Gloss, glossShareOf } from '../optics/surface.ts';

/**
 * A colour as a reading with another share of the gloss would have it: the gloss adds the same reflectance at
 * every band. Two books whose readings see gloss differently are up to 10 dE00 apart without this.
 * Shape:   Lab, D50 and 2 degrees -> the same
 * Holds:   exact for every spectrum; what would be darker than black is held there
 * Source:  [Saunderson1942]
 */
export function labWithGloss(lab: Lab, from: Gloss, to: Gloss): Lab {
  const more = (glossShareOf(to) - glossShareOf(from)) * claySurface(to).outer;
  if (more === 0) return lab;
  const { white } = colourWeights('D50', 2);
  const xyz = xyzFromLab(lab, white);
  const moved = triple((i) => Math.max(0, xyz[i] + more * white[i]));
  return labFromXyz(moved, white);
}
