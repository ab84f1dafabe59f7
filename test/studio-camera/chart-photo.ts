import type { Random } from '../../bench/random.ts';
import { LIGHT_POWER } from '../../src/core/colour/cie.data.ts';
import { GRID_NM } from '../../src/core/colour/grid.ts';
import type { LightName } from '../../src/core/colour/weights.ts';
import { srgbEncoded } from '../../src/core/photo/encoding.ts';
import type { Picture } from '../../src/core/photo/picture.ts';
import {
  type PlaneView,
  type Point,
  pixelOf,
  placeInPlane,
  planeThrough,
} from '../../src/core/photo/plane-view.ts';
import { CAMERAS } from './cameras.ts';
import { CHART_SPECTRA } from './scene.ts';

/** A photo of a chart alone, and its surroundings. */
export interface ChartPhoto {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Length of the chart's longer side over the picture's shorter one. */
  readonly size: number;
  readonly middle: Point;
  readonly turnDeg: number;
  /** How much nearer one side is than the other. */
  readonly slant: Point;
  readonly camera: number;
  readonly light: LightName;
  /** Whether the camera balanced the white. */
  readonly balanced: boolean;
  readonly exposure: number;
  /** Stray light, as a part of the mean. */
  readonly haze: number;
  readonly slope: Point;
  readonly vignette: number;
  readonly noise: number;
  readonly blurPx: number;
  readonly smearPx: number;
  readonly smearDeg: number;
  /** Gap between two patches as a share of the pitch; reflectance of the gaps and of the border. */
  readonly gap: number;
  readonly frame: number;
  readonly frameWide: number;
  readonly ground: 'wood' | 'cloth' | 'plain' | 'screen' | 'clutter';
  /** Patches under a highlight, and its strength relative to white. */
  readonly glare:
    | { readonly at: Point; readonly reach: number; readonly strength: number }
    | undefined;
  /** A thumb over a corner: middle and radius in pitches. */
  readonly thumb: { readonly at: Point; readonly reach: number } | undefined;
  readonly chart: boolean;
  /** A lattice of other colours beside or instead of it: columns, rows, colours of each. */
  readonly decoy:
    | {
        readonly columns: number;
        readonly rows: number;
        readonly colours: readonly (readonly number[])[];
        readonly middle: Point;
        readonly turnDeg: number;
        readonly pitchPx: number;
        readonly gap: number;
      }
    | undefined;
}

export interface ChartPicture {
  readonly picture: Picture;
  readonly patches: readonly Point[];
  readonly pitchPx: number;
}

const PATCHES = 24;

/** The photo as recorded by its camera: 8 bit sRGB codes. */
export function renderChartPhoto(photo: ChartPhoto, random: Random): ChartPicture {
  const { widthPx: width, heightPx: height } = photo;
  const { sensitivity } = CAMERAS[photo.camera];
  const power = LIGHT_POWER[photo.light];
  const rgbOf = (reflectance: (nm: number, band: number) => number) => {
    const out = [0, 0, 0];
    let total = 0;
    for (let band = 0; band < GRID_NM.length; band++) {
      const e = power[2 * band];
      total += e;
      for (let c = 0; c < 3; c++)
        out[c] += e * reflectance(GRID_NM[band], band) * sensitivity[c][band];
    }
    return out.map((v) => v / total);
  };
  const white = rgbOf(() => 1);
  const gain = photo.balanced ? white.map((v) => 1 / v) : white.map(() => 1 / white[1]);
  const own = (rgb: readonly number[]) => rgb.map((v, c) => v * gain[c]);
  const patches = CHART_SPECTRA.map((s) => own(rgbOf((_, band) => s[band])));
  const frame = own(white.map((v) => v * photo.frame));
  const skin = patches[1];
  const view = viewOf(photo);
  const decoyView =
    photo.decoy === undefined
      ? undefined
      : flatView(photo.decoy.middle, photo.decoy.pitchPx, photo.decoy.turnDeg, photo);
  const grain = Float64Array.from({ length: 64 }, () => random.uniform());
  const blobs = Array.from({ length: photo.ground === 'clutter' ? 25 : 0 }, () => ({
    at: [width * random.uniform(), height * random.uniform()] as Point,
    wide: 0.02 + 0.12 * random.uniform(),
    tall: 0.02 + 0.12 * random.uniform(),
    colour: [random.uniform(), random.uniform(), random.uniform()],
  }));
  const groundAt = (x: number, y: number): readonly number[] => {
    switch (photo.ground) {
      case 'plain':
        return [0.35, 0.33, 0.3];
      case 'wood': {
        const line = x * 0.05 + 6 * Math.sin(y * 0.004) + 2 * Math.sin(y * 0.011 + x * 0.002);
        const k = Math.floor(line) & 63;
        const mix =
          grain[k] * (1 - (line - Math.floor(line))) +
          grain[(k + 1) & 63] * (line - Math.floor(line));
        const v = 0.25 + 0.5 * mix;
        return [0.55 * v, 0.32 * v, 0.16 * v];
      }
      case 'cloth': {
        const step = Math.max(width, height) / 24;
        const odd = (Math.floor(x / step) + Math.floor(y / step)) % 2 === 0;
        const row = Math.floor(y / step) % 2 === 0;
        return odd ? [0.75, 0.72, 0.68] : row ? [0.6, 0.08, 0.09] : [0.1, 0.15, 0.5];
      }
      case 'screen': {
        const step = Math.max(width, height) / 18;
        const u = x / step - Math.floor(x / step);
        const v = y / step - Math.floor(y / step);
        const k = (Math.floor(x / step) * 7 + Math.floor(y / step) * 13) & 63;
        return u < 0.7 && v < 0.7
          ? [grain[k], grain[(k + 21) & 63], grain[(k + 42) & 63]]
          : [0.02, 0.02, 0.03];
      }
      case 'clutter': {
        for (const { at, wide, tall, colour } of blobs) {
          if (Math.abs(x - at[0]) < wide * width && Math.abs(y - at[1]) < tall * width)
            return colour;
        }
        return [0.5, 0.48, 0.45];
      }
    }
  };
  const inGap = photo.gap / 2;
  const surfaceAt = (x: number, y: number): readonly number[] => {
    if (photo.chart) {
      const [u, v] = placeInPlane(view, [x, y]);
      if (photo.thumb !== undefined) {
        const { at, reach } = photo.thumb;
        if (Math.hypot(u - at[0], v - at[1]) < reach) return skin;
      }
      const edge = 0.5 + photo.frameWide;
      if (u > -edge && v > -edge && u < 5 + edge && v < 3 + edge) {
        const [column, row] = [Math.round(u), Math.round(v)];
        const on =
          column >= 0 &&
          row >= 0 &&
          column < 6 &&
          row < 4 &&
          Math.abs(u - column) < 0.5 - inGap &&
          Math.abs(v - row) < 0.5 - inGap;
        const colour = on ? patches[row * 6 + column] : frame;
        if (photo.glare === undefined) return colour;
        const away = Math.hypot(u - photo.glare.at[0], v - photo.glare.at[1]) / photo.glare.reach;
        const shine = photo.glare.strength * Math.exp(-0.5 * away ** 4);
        return colour.map((value) => value + shine);
      }
    }
    if (photo.decoy !== undefined && decoyView !== undefined) {
      const { columns, rows, colours, gap } = photo.decoy;
      const [u, v] = placeInPlane(decoyView, [x, y]);
      const [column, row] = [Math.round(u), Math.round(v)];
      if (column >= 0 && row >= 0 && column < columns && row < rows) {
        return Math.abs(u - column) < 0.5 - gap / 2 && Math.abs(v - row) < 0.5 - gap / 2
          ? colours[row * columns + column]
          : [0.05, 0.05, 0.05];
      }
    }
    return groundAt(x, y);
  };
  const light = new Float32Array(width * height * 3);
  const mean = [0, 0, 0];
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const at = (y * width + x) * 3;
      const gx = (2 * x) / width - 1;
      const gy = (2 * y) / height - 1;
      const fall =
        Math.exp(photo.slope[0] * gx + photo.slope[1] * gy) *
        (1 - 0.5 * photo.vignette * (gx * gx + gy * gy));
      const [a, b] = [surfaceAt(x - 0.25, y - 0.25), surfaceAt(x + 0.25, y + 0.25)];
      for (let c = 0; c < 3; c++) {
        light[at + c] = ((a[c] + b[c]) / 2) * fall * photo.exposure;
        mean[c] += light[at + c] / (width * height);
      }
    }
  }
  const seen = smeared(blurred(light, width, photo.blurPx), photo);
  const bell = Float32Array.from({ length: 65536 }, () => random.normal());
  let at = random.whole(0, 65535);
  const encoded = Uint8Array.from({ length: 4097 }, (_, i) =>
    Math.round(255 * srgbEncoded((i / 4096) ** 2)),
  );
  const codes = new Uint8Array(width * height * 3);
  for (let i = 0; i < codes.length; i++) {
    const clean = seen[i] + photo.haze * mean[i % 3];
    const noisy = clean + photo.noise * Math.sqrt(Math.max(0, clean) * 0.5 + 0.003) * bell[at];
    at = (at * 69069 + 12345) & 65535;
    codes[i] = encoded[Math.round(4096 * Math.sqrt(Math.min(1, Math.max(0, noisy))))];
  }
  const centres = Array.from({ length: PATCHES }, (_, i) =>
    pixelOf(view, [i % 6, Math.floor(i / 6)]),
  );
  return {
    picture: { width, height, codes },
    patches: photo.chart ? centres : [],
    pitchPx: Math.hypot(centres[15][0] - centres[14][0], centres[15][1] - centres[14][1]),
  };
}

function flatView(
  middle: Point,
  pitchPx: number,
  turnDeg: number,
  picture: { readonly widthPx: number; readonly heightPx: number },
): PlaneView {
  const angle = (turnDeg * Math.PI) / 180;
  const [c, s] = [Math.cos(angle) * pitchPx, Math.sin(angle) * pitchPx];
  return {
    perspective: [
      c,
      -s,
      middle[0] - c * 2.5 + s * 1.5,
      s,
      c,
      middle[1] - s * 2.5 - c * 1.5,
      0,
      0,
      1,
    ],
    middle: [picture.widthPx / 2, picture.heightPx / 2],
    reach: 1,
    bend: 0,
  };
}

function viewOf(photo: ChartPhoto): PlaneView {
  const { widthPx: width, heightPx: height } = photo;
  const pitch = (photo.size * Math.min(width, height)) / 6;
  const middle: Point = [photo.middle[0] * width, photo.middle[1] * height];
  const flat = flatView(middle, pitch, photo.turnDeg, photo);
  const corners: Point[] = [
    [-0.5, -0.5],
    [5.5, -0.5],
    [5.5, 3.5],
    [-0.5, 3.5],
  ];
  const seen = corners.map((corner): Point => {
    const [x, y] = pixelOf(flat, corner);
    const near =
      1 + photo.slant[0] * ((corner[0] - 2.5) / 3) + photo.slant[1] * ((corner[1] - 1.5) / 2);
    return [middle[0] + (x - middle[0]) * near, middle[1] + (y - middle[1]) * near];
  });
  return planeThrough(corners, seen, { width, height })!.view;
}

function blurred(light: Float32Array, width: number, rounds: number): Float32Array {
  let now = light;
  for (let round = 0; round < rounds; round++) {
    for (const step of [3, 3 * width]) {
      const next = now.slice();
      for (let i = step; i < now.length - step; i++)
        next[i] = (now[i - step] + 2 * now[i] + now[i + step]) / 4;
      now = next;
    }
  }
  return now;
}

function smeared(
  light: Float32Array,
  { widthPx: width, heightPx: height, smearPx, smearDeg }: ChartPhoto,
): Float32Array {
  if (smearPx < 1) return light;
  const out = new Float32Array(light.length);
  const taps = Math.ceil(smearPx);
  const [dx, dy] = [Math.cos((smearDeg * Math.PI) / 180), Math.sin((smearDeg * Math.PI) / 180)];
  for (let k = 0; k < taps; k++) {
    const way = (k - (taps - 1) / 2) * (smearPx / taps);
    const [sx, sy] = [Math.round(way * dx), Math.round(way * dy)];
    for (let y = 0; y < height; y++) {
      const row = Math.min(height - 1, Math.max(0, y + sy)) * width;
      for (let x = 0; x < width; x++) {
        const from = (row + Math.min(width - 1, Math.max(0, x + sx))) * 3;
        const to = (y * width + x) * 3;
        for (let c = 0; c < 3; c++) out[to + c] += light[from + c] / taps;
      }
    }
  }
  return out;
}

/** What makes a photo of a chart hard. */
export const TROUBLES = [
  'none',
  'small',
  'filling',
  'thin gaps',
  'thick gaps',
  'pale frame',
  'dark',
  'hazy',
  'warm',
  'smeared',
  'blurred',
  'vignetted',
  'wood',
  'cloth',
  'clutter',
  'screen',
  'thumb',
  'glare',
  'noisy',
  'slanted',
  'over-exposed',
  'decoy beside',
] as const;
export type Trouble = (typeof TROUBLES)[number];

const GROUNDS = ['plain', 'wood', 'clutter'] as const;

/** A chart photo with one difficulty; the same seed gives the same photo. */
export function snappedChart(random: Random, trouble: Trouble): ChartPhoto {
  const even = (span: number) => (random.uniform() * 2 - 1) * span;
  const portrait = random.uniform() < 0.5;
  const [widthPx, heightPx] = portrait ? [750, 1000] : [1000, 750];
  const developing = CAMERAS.map((camera, index) => ({ camera, index })).filter(
    ({ camera }) => !camera.heldOut,
  );
  const plain: ChartPhoto = {
    widthPx,
    heightPx,
    size: 0.5 + 0.35 * random.uniform(),
    middle: [0.5 + even(0.06), 0.5 + even(0.06)],
    turnDeg: 360 * random.uniform(),
    slant: [even(0.08), even(0.08)],
    camera: developing[random.whole(0, developing.length - 1)].index,
    light: random.uniform() < 0.5 ? 'D65' : 'LED-B3',
    balanced: true,
    exposure: 0.5 + 0.3 * random.uniform(),
    haze: 0.01 * random.uniform(),
    slope: [even(0.15), even(0.15)],
    vignette: 0.2 * random.uniform(),
    noise: 0.006 + 0.01 * random.uniform(),
    blurPx: random.whole(0, 2),
    smearPx: 0,
    smearDeg: 0,
    gap: 0.1 + 0.1 * random.uniform(),
    frame: 0.03 + 0.02 * random.uniform(),
    frameWide: 0.05 + 0.3 * random.uniform(),
    ground: GROUNDS[random.whole(0, 2)],
    glare: undefined,
    thumb: undefined,
    chart: true,
    decoy: undefined,
  };
  const changes: Readonly<Record<Trouble, () => Partial<ChartPhoto>>> = {
    none: () => ({}),
    small: () => ({
      size: 0.15 + 0.08 * random.uniform(),
      middle: [0.5 + even(0.3), 0.5 + even(0.3)],
    }),
    filling: () => ({
      size: portrait ? 0.98 : 1.28,
      turnDeg: 180 * random.whole(0, 1) + even(2),
      middle: [0.5, 0.5],
      slant: [even(0.03), even(0.03)],
    }),
    'thin gaps': () => ({ gap: 0.03 * random.uniform() }),
    'thick gaps': () => ({ gap: 0.28 + 0.14 * random.uniform() }),
    'pale frame': () => ({ frame: 0.6 + 0.3 * random.uniform() }),
    dark: () => ({ exposure: 0.06 + 0.08 * random.uniform(), noise: 0.02 }),
    hazy: () => ({ haze: 0.3 + 0.4 * random.uniform(), exposure: 0.5 }),
    warm: () => ({ light: 'A', balanced: false, exposure: 0.35 }),
    smeared: () => ({ smearPx: 6 + 10 * random.uniform(), smearDeg: 360 * random.uniform() }),
    blurred: () => ({ blurPx: 12 + random.whole(0, 20) }),
    vignetted: () => ({ vignette: 0.6 + 0.3 * random.uniform(), slope: [even(0.5), even(0.5)] }),
    wood: () => ({ ground: 'wood', size: 0.3 + 0.3 * random.uniform() }),
    cloth: () => ({ ground: 'cloth' }),
    clutter: () => ({ ground: 'clutter', size: 0.3 + 0.2 * random.uniform() }),
    screen: () => ({ ground: 'screen', size: 0.4 + 0.3 * random.uniform() }),
    thumb: () => ({
      thumb: {
        at: [random.whole(0, 1) * 5 + even(0.3), random.whole(0, 1) * 3 + even(0.3)],
        reach: 0.9 + 0.5 * random.uniform(),
      },
    }),
    glare: () => ({
      glare: {
        at: [5 * random.uniform(), 3 * random.uniform()],
        reach: 0.8 + 0.4 * random.uniform(),
        strength: 0.2 + 0.8 * random.uniform(),
      },
    }),
    noisy: () => ({ noise: 0.06 + 0.06 * random.uniform() }),
    slanted: () => ({ slant: [even(0.3), even(0.3)] }),
    'over-exposed': () => ({ exposure: 1.2 + 0.5 * random.uniform() }),
    'decoy beside': () => ({
      size: 0.4,
      middle: [0.5, 0.25],
      decoy: { ...latticeOf(random, widthPx, heightPx), middle: [widthPx * 0.5, heightPx * 0.78] },
    }),
  };
  return { ...plain, ...changes[trouble]() };
}

/** A lattice of colours that is not a chart. */
export function latticeOf(
  random: Random,
  widthPx: number,
  heightPx: number,
): NonNullable<ChartPhoto['decoy']> {
  const [columns, rows] =
    random.uniform() < 0.5 ? [6, 4] : [random.whole(4, 9), random.whole(3, 7)];
  return {
    columns,
    rows,
    colours: Array.from({ length: columns * rows }, () => {
      const grey = 0.03 + 0.8 * random.uniform();
      const pale = random.uniform();
      return [0, 1, 2].map(() => pale * grey + (1 - pale) * random.uniform());
    }),
    middle: [widthPx / 2, heightPx / 2],
    turnDeg: 360 * random.uniform(),
    pitchPx: (0.4 * Math.min(widthPx, heightPx)) / Math.max(columns, rows),
    gap: 0.05 + 0.2 * random.uniform(),
  };
}
