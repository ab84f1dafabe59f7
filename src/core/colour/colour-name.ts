import { deltaE2000 } from './difference.ts';
import { ISCC_NBS } from './iscc-nbs.data.ts';
import { labFromSurface } from './munsell.ts';
import { parseMunsell } from './munsell-notation.ts';
import type { Lab } from './triples.ts';

interface NamedColour {
  /** ISCC-NBS number, 1-267. */
  readonly number: number;
  readonly name: string;
  /** CIEDE2000 to the middle of the name's block. */
  readonly deltaE: number;
}

export interface ColourName extends NamedColour {
  /** The second closest: when close to the first, the colour is between the two. */
  readonly next: NamedColour;
}

/** Middle of each block in CIELAB D50, 2 degree; ten of them are a little past value 1 or 9. */
const CENTROIDS = ISCC_NBS.map(([number, name, notation]) => ({
  number,
  name,
  lab: labFromSurface(parseMunsell(notation)),
}));

const BLACK_LIGHTNESS = CENTROIDS[266].lab[0];

/** Middle of a name's block, by its place in `ISCC_NBS`; D50, 2 degree. */
export function labOfName(place: number): Lab {
  return CENTROIDS[place].lab;
}

/**
 * ISCC-NBS name of a CIELAB, D50 and 2 degree.
 * Shape:   [L, a, b] -> name, its number, how close, and the second closest
 * Method:  closest of the 267 block centroids by CIEDE2000
 * Limits:  not the block boundaries of the Munsell charts in [NBS440]: near an edge the chart may
 *          give the neighbour's name (9 of 12 patches of a colour chart get the name printed on its
 *          sheet). A colour duller or stronger than any block still gets a name, with a large
 *          deltaE
 * Source:  [Kelly1958] central notations; oracle test/oracles/colour/iscc-nbs-centroids.csv
 */
export function colourName(lab: Lab): ColourName {
  let first = { ...CENTROIDS[0], deltaE: Number.POSITIVE_INFINITY };
  let next = first;
  // The block of black goes down to lightness 0, but its middle, N 1.25, is above those of the
  // near-blacks. Below it lightness cannot separate the names, and pure black would get the name of
  // a greenish one.
  const judged: Lab = [Math.max(lab[0], BLACK_LIGHTNESS), lab[1], lab[2]];
  for (const centroid of CENTROIDS) {
    const deltaE = deltaE2000(judged, centroid.lab);
    if (deltaE < first.deltaE) {
      next = first;
      first = { ...centroid, deltaE };
    } else if (deltaE < next.deltaE) next = { ...centroid, deltaE };
  }
  const named = (c: (typeof CENTROIDS)[number]) => ({
    number: c.number,
    name: c.name,
    deltaE: deltaE2000(lab, c.lab),
  });
  return { ...named(first), next: named(next) };
}
