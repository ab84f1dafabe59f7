import type { Random } from '../../bench/random.ts';
import { GRID_NM } from '../../src/core/colour/grid.ts';
import { labFromSpectrum } from '../../src/core/colour/spaces.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { colourWeights, type LightName } from '../../src/core/colour/weights.ts';
import { reflectanceFromRatio } from '../../src/core/optics/kubelka-munk.ts';
import { claySurface, measuredFromInternal } from '../../src/core/optics/surface.ts';
import {
  type PaperName,
  type SheetBox,
  type SheetLayout,
  traySheetLayout,
} from '../../src/core/photo/sheet-layout.ts';
import { readPigments } from '../../tools/pigments.ts';
import { oracle, spectrumOf } from '../oracles/colour/read-oracle.ts';
import { CAMERAS, type CameraShape } from './cameras.ts';
import { type Caster, randomCasters } from './casters.ts';
import type { TableName } from './table-top.ts';

export interface TileInScene {
  readonly place: string;
  /** Middle of a tile that is on no place of a sheet, mm. */
  readonly at?: readonly [number, number];
  readonly spectrum: Float64Array;
  /** D50, 2 degree. */
  readonly lab: Lab;
  readonly offset: readonly [number, number];
  readonly sideMm: number;
  readonly turn: number;
  readonly round: boolean;
  readonly stamped: boolean;
  /** Strength of the highlight relative to white, and its place and size in mm. */
  readonly gloss: readonly [strength: number, x: number, y: number, sizeMm: number];
}

/** Something on a table that is no tile, made of discs and bars with round ends. */
export interface Clutter {
  readonly name: 'hand' | 'knife' | 'spoon' | 'fork' | 'pen' | 'cup' | 'roller';
  readonly spectrum: Float64Array;
  readonly parts: readonly ClutterPart[];
}

/** From one end to the other, mm; a disc where both are one. */
export interface ClutterPart {
  readonly from: readonly [number, number];
  readonly to: readonly [number, number];
  readonly radiusMm: number;
}

export interface Scene {
  readonly layout: SheetLayout;
  readonly camera: CameraShape;
  /** Lights and the share of each in the middle. */
  readonly lights: readonly {
    readonly name: LightName;
    readonly share: number;
    readonly slope: readonly [number, number];
  }[];
  readonly tiles: readonly TileInScene[];
  readonly chart:
    | {
        readonly offset: readonly [number, number];
        readonly turnDeg: number;
        /** Of its patches; those of `CHART_SPECTRA` when absent. */
        readonly spectra?: readonly Float64Array[];
      }
    | undefined;
  readonly pose: {
    readonly turnDeg: number;
    readonly tiltDeg: number;
    readonly tiltTowardsDeg: number;
    readonly fill: number;
    readonly bend: number;
  };
  readonly vignette: number;
  readonly flare: number;
  readonly noise: number;
  readonly exposure: number;
  readonly balanceError: readonly [number, number];
  readonly contrast: number;
  readonly output: 'sRGB' | 'Display P3' | 'linear';
  readonly jpegQuality: number;
  readonly blur: number;
  /** A soft shadow over part of the sheet: edge through a place, direction, darkness. */
  readonly shadow:
    | {
        readonly at: readonly [number, number];
        readonly angleDeg: number;
        readonly depth: number;
        /** Width of its edge, mm; 4 when absent. */
        readonly softMm?: number;
        /** Curvature of the edge: one over the radius of the head or hand that casts it. */
        readonly bulgePerMm?: number;
      }
    | undefined;
  /** Things that cast other kinds of shadow. */
  readonly casters?: readonly Caster[];
  /** A hand over the edge of the sheet: covers markers, no tile and no patch. */
  readonly hand: { readonly at: readonly [number, number]; readonly reachMm: number } | undefined;
  /** What is under the tiles, and the part of it that a sheet of paper covers. */
  readonly table?: {
    readonly name: TableName;
    readonly seed: number;
    readonly paper?: SheetBox;
  };
  /** What else lies on the table. */
  readonly clutter?: readonly Clutter[];
  readonly widthPx: number;
  readonly heightPx: number;
}

/** The lights of a scene. */
export type LightKind = 'D65' | 'LED-B3' | 'A' | 'FL11' | 'mixed';

const pigments = readPigments();
const pale = pigments.filter((p) => /white/i.test(p.name));
const weights = colourWeights('D50', 2);

function chartSpectra(file: string): readonly Float64Array[] {
  return oracle(file).map((row) => {
    const { nm, values } = spectrumOf(row);
    return Float64Array.from(GRID_NM, (at) => values[nm.indexOf(at)]);
  });
}

/** Spectra of the chart: the mean of 30 charts, made before 2014. */
export const CHART_SPECTRA = chartSpectra('spectra-average30.csv');
/** One chart measured in 1997; not used while the reading of photos was developed. */
export const CHART_SPECTRA_HELD_OUT = chartSpectra('spectra-ohta1997.csv');

/** One to three measured paints of one collection, mostly paled with white. */
export function paintedTile(random: Random): Float64Array {
  const file = random.uniform() < 0.5 ? 'acrylic27_KS.csv' : 'acrylic19_KS.csv';
  const set = pigments.filter((p) => p.file === file);
  const white = pale.find((p) => p.file === file)!;
  const count = random.whole(1, 3);
  const parts = Array.from({ length: count }, () => ({
    paint: set[random.whole(0, set.length - 1)],
    amount: random.whole(1, 6),
  }));
  if (random.uniform() < 0.75) parts.push({ paint: white, amount: random.whole(2, 24) });
  const surface = claySurface('excluded');
  return Float64Array.from(GRID_NM, (_, band) => {
    let k = 0;
    let s = 0;
    for (const { paint, amount } of parts) {
      k += amount * paint.absorption[band];
      s += amount * paint.scattering[band];
    }
    return measuredFromInternal(reflectanceFromRatio(k / s), surface);
  });
}

/** A spectrum that is mostly another, with a little of a third. */
export function likeBefore(
  random: Random,
  before: Float64Array,
  fresh: Float64Array,
): Float64Array {
  const step = 0.05 + 0.2 * random.uniform();
  return before.map((v, i) => v * (1 - step) + step * fresh[i]);
}

export function labOf(spectrum: Float64Array): Lab {
  return labFromSpectrum(spectrum, weights);
}

/** A tray as a user might photograph it; the same seed gives the same scene. */
export function randomScene(
  random: Random,
  kind: LightKind,
  choice: {
    readonly heldOut?: boolean;
    readonly chart?: boolean;
    readonly pairs?: boolean;
    readonly casters?: boolean;
  } = {},
): Scene {
  const paper: PaperName = random.uniform() < 0.6 ? 'A4' : 'Letter';
  const layout = traySheetLayout(paper);
  const cameras = CAMERAS.filter((camera) => camera.heldOut === (choice.heldOut ?? false));
  const even = (span: number) => (random.uniform() * 2 - 1) * span;
  const tiles: TileInScene[] = [];
  for (const place of layout.places) {
    if (random.uniform() < 0.15) continue;
    let spectrum = paintedTile(random);
    const before = tiles.at(-1);
    // Half of the tiles resemble the one before: raw beside baked, or one step of a ladder.
    if (before !== undefined && (choice.pairs ?? random.uniform() < 0.3)) {
      spectrum = likeBefore(random, before.spectrum, spectrum);
    }
    tiles.push({
      place: place.name,
      spectrum,
      lab: labOf(spectrum),
      offset: [even(2), even(2)],
      sideMm: 21 + 6 * random.uniform(),
      turn: even(0.5),
      round: random.uniform() < 0.3,
      stamped: random.uniform() < 0.5,
      gloss: [
        random.uniform() < 0.6 ? 0.5 * random.uniform() : 0,
        even(7),
        even(7),
        1.5 + 3 * random.uniform(),
      ],
    });
  }
  const names: LightName[] =
    kind === 'mixed' ? (random.uniform() < 0.5 ? ['D65', 'LED-B3'] : ['D65', 'A']) : [kind];
  const shares = names.length === 1 ? [1] : [0.5 + 0.4 * random.uniform()];
  if (names.length === 2) shares.push(1 - shares[0]);
  const quarter = 90 * random.whole(0, 3);
  const upright = quarter % 180 === 0;
  const long = 1600;
  const short = 1200;
  const scene: Scene = {
    layout,
    camera: cameras[random.whole(0, cameras.length - 1)],
    lights: names.map((name, i) => ({ name, share: shares[i], slope: [even(0.15), even(0.15)] })),
    tiles,
    chart:
      choice.chart === false
        ? undefined
        : {
            offset: [even(2), even(1)],
            turnDeg: even(3) + (random.uniform() < 0.3 ? 180 : 0),
          },
    pose: {
      turnDeg: quarter + even(8),
      tiltDeg: 18 * random.uniform(),
      tiltTowardsDeg: 360 * random.uniform(),
      fill: 0.8 + 0.12 * random.uniform(),
      bend: even(0.03),
    },
    vignette: 0.25 * random.uniform(),
    flare: 0.002 + 0.008 * random.uniform(),
    noise: 0.004 + 0.008 * random.uniform(),
    exposure: 0.65 + 0.25 * random.uniform(),
    balanceError: [even(0.05), even(0.08)],
    contrast: 1 + 0.3 * random.uniform(),
    output: random.uniform() < 0.7 ? 'sRGB' : random.uniform() < 0.7 ? 'Display P3' : 'linear',
    jpegQuality: random.whole(80, 96),
    blur: random.whole(0, 2),
    shadow:
      random.uniform() < 0.15
        ? {
            at: [
              layout.widthMm * random.uniform(),
              layout.heightMm * (0.75 + 0.2 * random.uniform()),
            ],
            angleDeg: 360 * random.uniform(),
            depth: 0.2 + 0.3 * random.uniform(),
          }
        : undefined,
    hand:
      random.uniform() < 0.15
        ? {
            at: [random.uniform() < 0.5 ? 0 : layout.widthMm, layout.heightMm * random.uniform()],
            reachMm: 18 + 10 * random.uniform(),
          }
        : undefined,
    widthPx: upright ? short : long,
    heightPx: upright ? long : short,
  };
  if (choice.casters !== true) return scene;
  const spots = tiles.map(({ place }) => layout.places.find(({ name }) => name === place)!.centre);
  const casters = randomCasters(random, spots, layout.widthMm, layout.heightMm);
  return { ...scene, shadow: undefined, casters };
}
