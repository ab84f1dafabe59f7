import { inverse, times } from '../colour/matrix.ts';
import { labFromXyz, xyzFromLab } from '../colour/spaces.ts';
import type { Lab, Xyz } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import type { Seen } from './camera-model.ts';
import { srgbDecoded } from './encoding.ts';
import type { PictureColour } from './picture.ts';

/** A photo without a chart, read by the colour profile of its file, after a balance. */
export interface UnchartedColours {
  readonly toXyz: readonly number[];
  /** Factor on each channel. */
  readonly gains: readonly [number, number, number];
  readonly balanced: 'as the camera did' | 'by a grey card' | 'by control tiles';
}

/** Standard deviation of such a colour, CIELAB units an axis; measured on rendered scenes of six cameras. */
const SPREAD = 8;
/** The same with control tiles that were read before. */
const CONTROLLED_SPREAD = 2.5;
/**
 * Colours closer than this many spreads share their error, so their difference is far more certain.
 * Measured on rendered scenes.
 */
const REACH = 4;
/** Lightness of plain printing paper, as Y; common practice, no source. */
const PAPER_Y = 0.85;
const WHITE = colourWeights('D50', 2).white;

export interface KnownTile {
  readonly seen: Seen;
  readonly lab: Lab;
}

/**
 * How to read a photo without a chart.
 * Shape:   what the file says about its colours; light of a grey card, of white paper, and of tiles
 *          of known colour, where there are any
 * Holds:   paper shows only how light the picture is, never what is white in it
 */
export function unchartedColours(
  colour: PictureColour,
  anchors: {
    readonly greyCard?: readonly [number, number, number];
    readonly paper?: readonly [number, number, number];
    readonly known?: readonly KnownTile[];
  },
): UnchartedColours {
  const { toXyz } = colour;
  const { greyCard, paper, known = [] } = anchors;
  if (known.length > 0) {
    const back = inverse([toXyz.slice(0, 3), toXyz.slice(3, 6), toXyz.slice(6, 9)]);
    const gains = [0, 1, 2].map((c) => {
      const logs = known.map(({ seen, lab }) => {
        const xyz = xyzFromLab(lab, WHITE);
        const target = times(back, xyz)[c];
        return Math.log(Math.max(target, 1e-3) / Math.max(lightOf(seen, c), 1e-3));
      });
      return Math.exp(logs.reduce((sum, v) => sum + v, 0) / logs.length);
    });
    return { toXyz, gains: gains as [number, number, number], balanced: 'by control tiles' };
  }
  const neutral =
    greyCard === undefined ? [1, 1, 1] : greyCard.map((v) => greyCard[1] / Math.max(v, 1e-4));
  const paperY =
    paper === undefined
      ? PAPER_Y
      : [0, 1, 2].reduce((sum, c) => sum + toXyz[3 + c] * neutral[c] * paper[c], 0);
  return {
    toXyz,
    gains: neutral.map((v) => (v * PAPER_Y) / Math.max(paperY, 1e-3)) as [number, number, number],
    balanced: greyCard === undefined ? 'as the camera did' : 'by a grey card',
  };
}

export function unchartedLab({ toXyz, gains }: UnchartedColours, seen: Seen): Lab {
  const light = [0, 1, 2].map((c) => gains[c] * lightOf(seen, c));
  const xyz = [0, 1, 2].map(
    (r) => toXyz[3 * r] * light[0] + toXyz[3 * r + 1] * light[1] + toXyz[3 * r + 2] * light[2],
  ) as unknown as Xyz;
  return labFromXyz(xyz, WHITE);
}

/**
 * Covariance of rough colours of one photo, 3n x 3n by rows.
 * Holds:   wide for each colour, narrow for the difference of two similar ones
 */
export function roughCovariance(look: UnchartedColours, labs: readonly Lab[]): Float64Array {
  const n = labs.length;
  const out = new Float64Array(9 * n * n);
  const spread = look.balanced === 'by control tiles' ? CONTROLLED_SPREAD : SPREAD;
  const variance = spread ** 2;
  const reach = REACH * spread;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      const squared = [0, 1, 2].reduce((sum, r) => sum + (labs[i][r] - labs[j][r]) ** 2, 0);
      const value = variance * Math.exp(-squared / (2 * reach * reach));
      for (let r = 0; r < 3; r++) out[(3 * i + r) * 3 * n + 3 * j + r] = value;
    }
  }
  return out;
}

function lightOf({ code, light }: Seen, c: number): number {
  return srgbDecoded(code[c]) / light[c];
}
