import { inverse, times } from '../colour/matrix.ts';
import { labFromXyz, xyzFromLab } from '../colour/spaces.ts';
import { type Lab, triple } from '../colour/triples.ts';
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
  readonly spread: RoughSpread;
}

/** How far such a colour may be off, each independent of the others. */
interface RoughSpread {
  /** Standard deviation of its lightness, CIELAB units. */
  readonly light: number;
  /** Of the light of the whole picture, as a share. */
  readonly exposure: number;
  /** Of both axes of its hue, CIELAB units. */
  readonly tint: number;
  /** Of its chroma and hue, as shares of the chroma. */
  readonly chroma: number;
  readonly hue: number;
  /** Colours closer than this share most of their error, so their difference is far more certain. */
  readonly reach: number;
}

/** Measured on rendered scenes of six cameras under five lights. */
const BY_PAPER: RoughSpread = {
  light: 1.5,
  exposure: 0.06,
  tint: 2.5,
  chroma: 0.12,
  hue: 0.1,
  reach: 26,
};
/** Without paper the exposure is not known; measured on tiles on eleven tables, with eight cameras. */
const BY_NOTHING: RoughSpread = {
  ...BY_PAPER,
  exposure: 0.18,
  tint: 3,
  chroma: 0.1,
  hue: 0.08,
};
const BY_CONTROLS: RoughSpread = {
  light: 2.5,
  exposure: 0,
  tint: 2.5,
  chroma: 0,
  hue: 0,
  reach: 10,
};
/** What a camera leaves above white, as most do: white is this share of the brightest code. */
const USUAL_WHITE = 0.72;
/** How paper looks where the camera balanced the light well: it glows a little. */
const PAPER_TINT = [1, -4] as const;
/** Of a tint that paper should not have: the share by which tiles may be off, and more for strong ones. */
const TINT_SHARE = 0.38;
const TINT_CHROMA = 0.01;
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
    return {
      toXyz,
      gains: gains as [number, number, number],
      balanced: 'by control tiles',
      spread: BY_CONTROLS,
    };
  }
  const neutral =
    greyCard === undefined ? [1, 1, 1] : greyCard.map((v) => greyCard[1] / Math.max(v, 1e-4));
  const paperY =
    paper === undefined
      ? PAPER_Y * USUAL_WHITE
      : [0, 1, 2].reduce((sum, c) => sum + toXyz[3 + c] * neutral[c] * paper[c], 0);
  const look = {
    toXyz,
    gains: neutral.map((v) => (v * PAPER_Y) / Math.max(paperY, 1e-3)) as [number, number, number],
    balanced: greyCard === undefined ? 'as the camera did' : 'by a grey card',
  } as const;
  if (paper === undefined) return { ...look, spread: BY_NOTHING };
  const [, a, b] = labOfLight(look, paper);
  const off = Math.hypot(a - PAPER_TINT[0], b - PAPER_TINT[1]);
  return {
    ...look,
    spread: {
      ...BY_PAPER,
      tint: Math.hypot(BY_PAPER.tint, TINT_SHARE * off),
      chroma: BY_PAPER.chroma + TINT_CHROMA * off,
    },
  };
}

export function unchartedLab(look: UnchartedColours, seen: Seen): Lab {
  return labOfLight(look, [lightOf(seen, 0), lightOf(seen, 1), lightOf(seen, 2)]);
}

function labOfLight(
  { toXyz, gains }: Pick<UnchartedColours, 'toXyz' | 'gains'>,
  linear: readonly [number, number, number],
): Lab {
  const light = linear.map((v, c) => gains[c] * v);
  const xyz = triple(
    (r) => toXyz[3 * r] * light[0] + toXyz[3 * r + 1] * light[1] + toXyz[3 * r + 2] * light[2],
  );
  return labFromXyz(xyz, WHITE);
}

/**
 * Covariance of rough colours of one photo, 3n x 3n by rows.
 * Holds:   wide for each colour, most for strong ones, narrow for the difference of two similar ones
 */
export function roughCovariance(look: UnchartedColours, labs: readonly Lab[]): Float64Array {
  const n = labs.length;
  const out = new Float64Array(9 * n * n);
  const { reach } = look.spread;
  const steps = labs.map((lab) => roughSteps(lab, look.spread));
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      const squared = [0, 1, 2].reduce((sum, r) => sum + (labs[i][r] - labs[j][r]) ** 2, 0);
      const common = Math.exp(-squared / (2 * reach * reach));
      for (let r = 0; r < 3; r++) {
        for (let s = 0; s < 3; s++) {
          const value = steps[i].reduce((sum, step, k) => sum + step[r] * steps[j][k][s], 0);
          out[(3 * i + r) * 3 * n + 3 * j + s] = common * value;
        }
      }
    }
  }
  return out;
}

/** Steps by which a colour may be off, each independent of the others. */
function roughSteps(
  [l, a, b]: Lab,
  { light, exposure, tint, chroma, hue }: RoughSpread,
): readonly Lab[] {
  return [
    [light, 0, 0],
    // Lab follows the cube root of light.
    [(exposure * (l + 16)) / 3, (exposure * a) / 3, (exposure * b) / 3],
    [0, tint, 0],
    [0, 0, tint],
    [0, chroma * a, chroma * b],
    [0, -hue * b, hue * a],
  ];
}

function lightOf({ code, light }: Seen, c: number): number {
  return srgbDecoded(code[c]) / light[c];
}
