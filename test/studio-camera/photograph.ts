import sharp from 'sharp';
import { type Random, randomFrom } from '../../bench/random.ts';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { CHART_VALUES } from '../../src/core/photo/chart-values.ts';
import { pixelOf } from '../../src/core/photo/plane-view.ts';
import { type PhotoOutcome, readPhoto } from '../../src/core/photo/read-photo.ts';
import { PAPERS, traySheetLayout } from '../../src/core/photo/sheet-layout.ts';
import { decodePhoto } from '../../src/imaging/decode-photo.ts';
import { type Rendered, render } from './render.ts';
import { type LightKind, randomScene, type Scene } from './scene.ts';

/** 90 % and 99 % of a chi-squared variable of three degrees. */
const NINETY = 6.2514;
const NINETY_NINE = 11.3449;

export interface Photographed {
  readonly scene: Scene;
  readonly rendered: Rendered;
  /** The file of a camera: JPEG, or PNG of 16 bit for linear codes. */
  readonly bytes: Uint8Array;
}

/** A scene, rendered and written as a file, with its camera's profile. */
export async function photograph(
  seed: number,
  kind: LightKind,
  choice: Parameters<typeof randomScene>[2] = {},
): Promise<Photographed> {
  const random = randomFrom(seed);
  return photographOf(randomScene(random, kind, choice), random);
}

/** Photographs a given scene. */
export async function photographOf(scene: Scene, random: Random): Promise<Photographed> {
  const rendered = render(scene, random);
  return { scene, rendered, bytes: await written(scene, rendered) };
}

async function written(scene: Scene, { codes, width, height }: Rendered): Promise<Uint8Array> {
  const raw = { width, height, channels: 3 as const };
  if (codes instanceof Uint16Array) {
    return new Uint8Array(
      await sharp(codes, { raw }).toColourspace('rgb16').png({ compressionLevel: 1 }).toBuffer(),
    );
  }
  const image = sharp(codes, { raw }).jpeg({
    quality: scene.jpegQuality,
    chromaSubsampling: scene.jpegQuality > 90 ? '4:4:4' : '4:2:0',
  });
  const bytes = await image.toBuffer();
  if (scene.output !== 'Display P3') return new Uint8Array(bytes);
  return withProfile(bytes, await displayP3Profile());
}

let p3: Uint8Array | undefined;

/** The Display P3 profile included in the picture library. */
export async function displayP3Profile(): Promise<Uint8Array> {
  if (p3 !== undefined) return p3;
  const blank = sharp({ create: { width: 8, height: 8, channels: 3, background: '#888' } });
  const bytes = await blank.withIccProfile('p3').png().toBuffer();
  const { icc } = await sharp(bytes).metadata();
  if (icc === undefined) throw new Error('no profile came back');
  p3 = new Uint8Array(icc);
  return p3;
}

/** Puts a profile into a JPEG without touching its codes. Source: [ICC] annex B.4 */
export function withProfile(jpeg: Uint8Array, profile: Uint8Array): Uint8Array {
  const name = new TextEncoder().encode('ICC_PROFILE\0');
  const size = 2 + name.length + 2 + profile.length;
  const segment = new Uint8Array(2 + size);
  segment.set([0xff, 0xe2, size >> 8, size & 255]);
  segment.set(name, 4);
  segment.set([1, 1], 4 + name.length);
  segment.set(profile, 6 + name.length);
  const out = new Uint8Array(jpeg.length + segment.length);
  out.set(jpeg.subarray(0, 2));
  out.set(segment, 2);
  out.set(jpeg.subarray(2), 2 + segment.length);
  return out;
}

export interface TileScore {
  readonly place: string;
  readonly truth: Lab;
  readonly got: Lab;
  readonly dE00: number;
  /** Whether the true colour is inside the 90 % region. */
  readonly inside: boolean;
  readonly within99: boolean;
  readonly poor: boolean;
}

export interface PairScore {
  readonly trueDE: number;
  readonly gotDE: number;
  readonly inside: boolean;
}

export interface SceneScore {
  readonly scene: Scene;
  readonly rendered: Rendered;
  readonly read: PhotoOutcome;
  readonly readMs: number;
  readonly tiles: readonly TileScore[];
  /** Pairs of tiles that are truly closer than 10 dE00. */
  readonly pairs: readonly PairScore[];
  /** Tiles that were not found, and readings of empty places. */
  readonly missed: number;
  readonly ghosts: number;
}

/** A photographed scene, read like a user's photo and compared with the truth. */
export async function scoreScene(photo: Photographed, chart: boolean): Promise<SceneScore> {
  const { scene, rendered, bytes } = photo;
  const { picture, colours } = await decodePhoto(bytes, 'scene');
  const started = performance.now();
  const read = readPhoto({
    picture,
    colours,
    layouts:
      scene.table !== undefined && scene.table.paper === undefined
        ? []
        : PAPERS.map(traySheetLayout),
    taps: scene.tiles.flatMap(({ place, at }) =>
      at === undefined ? [] : [{ name: place, at: pixelOf(rendered.view, at) }],
    ),
    ...(chart ? { chart: CHART_VALUES['before 2014'] } : {}),
  });
  const readMs = performance.now() - started;
  const tiles = scoreTiles(scene, read);
  const pairs: PairScore[] = [];
  const matched = read.tiles.flatMap((tile, index) => {
    const truth = scene.tiles.find(({ place }) => place === tile.name);
    return truth === undefined ? [] : [{ tile, index, truth }];
  });
  const size = 3 * read.tiles.length;
  for (const [k, { tile, index, truth }] of matched.entries()) {
    const miss = tile.lab.map((v, r) => truth.lab[r] - v);
    for (const other of matched.slice(0, k)) {
      const trueDE = deltaE2000(truth.lab, other.truth.lab);
      if (trueDE >= 10 || tile.quality === 'poor' || other.tile.quality === 'poor') continue;
      const block = (i: number, j: number, r: number, s: number) =>
        read.covariance[(3 * i + r) * size + 3 * j + s];
      const between = Float64Array.from({ length: 9 }, (_, at) => {
        const [r, s] = [Math.floor(at / 3), at % 3];
        return (
          block(index, index, r, s) +
          block(other.index, other.index, r, s) -
          block(index, other.index, r, s) -
          block(other.index, index, r, s)
        );
      });
      pairs.push({
        trueDE,
        gotDE: deltaE2000(tile.lab, other.tile.lab),
        inside:
          squaredDistance(
            between,
            miss.map((v, r) => v - (other.truth.lab[r] - other.tile.lab[r])),
          ) < NINETY,
      });
    }
  }
  const missed = scene.tiles.filter(({ place }) => !read.tiles.some(({ name }) => name === place));
  const ghosts = read.tiles.length - matched.length;
  return { scene, rendered, read, readMs, tiles, pairs, missed: missed.length, ghosts };
}

/** The tiles that were read, against those of the scene, by name; others are left out. */
export function scoreTiles(scene: Scene, read: PhotoOutcome): TileScore[] {
  return read.tiles.flatMap((tile) => {
    const truth = scene.tiles.find(({ place }) => place === tile.name);
    if (truth === undefined) return [];
    const miss = tile.lab.map((v, r) => truth.lab[r] - v);
    return [
      {
        place: tile.name,
        truth: truth.lab,
        got: tile.lab,
        dE00: deltaE2000(tile.lab, truth.lab),
        inside: squaredDistance(tile.covariance, miss) < NINETY,
        within99: squaredDistance(tile.covariance, miss) < NINETY_NINE,
        poor: tile.quality === 'poor',
      },
    ];
  });
}

/** Squared Mahalanobis distance for a 3 x 3 covariance. */
function squaredDistance(c: ArrayLike<number>, m: readonly number[]): number {
  const minor = (r: number, s: number) => {
    const [r1, r2] = [(r + 1) % 3, (r + 2) % 3];
    const [s1, s2] = [(s + 1) % 3, (s + 2) % 3];
    return c[3 * r1 + s1] * c[3 * r2 + s2] - c[3 * r1 + s2] * c[3 * r2 + s1];
  };
  const determinant = c[0] * minor(0, 0) + c[1] * minor(0, 1) + c[2] * minor(0, 2);
  let sum = 0;
  for (let r = 0; r < 3; r++) {
    for (let s = 0; s < 3; s++) sum += (m[r] * m[s] * minor(s, r)) / determinant;
  }
  return sum;
}
