/**
 * A stock of measured paints opened as a clay model, and aims for it, for measuring searches. K and
 * S are the measured ones, not learned, so that every search sees the same curves.
 */
import { BlockMatrix, factorise } from '../src/core/clay/block-cholesky.ts';
import type { ClayClass } from '../src/core/clay/clay-class.ts';
import type { Predictor } from '../src/core/clay/predict.ts';
import { LATENTS } from '../src/core/clay/prior.ts';
import { classOfPigment, type Pigment } from '../src/core/clay/prior-from-pigments.ts';
import { shippedPrior } from '../src/core/clay/shipped-prior.ts';
import { SHARED } from '../src/core/clay/tile-equations.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { type ColourWeights, colourWeights } from '../src/core/colour/weights.ts';
import { claySurface } from '../src/core/optics/surface.ts';
import { readPigments } from '../tools/pigments.ts';
import { type PlainStock, plainMix } from './plain-search.ts';
import { type Random, randomFrom } from './random.ts';

/** Size measured on the pastes; see `SharedPhysics`. */
const DILUTION = 0.05;
/** Shares of white in clays sold already paled, for stocks larger than the measured paints. */
const PALED = [0.75, 0.9, 0.5, 0.95];

/**
 * The first `count` of: a white, a black, the other measured paints in a seeded order, then the
 * same colours paled with white, to a little over 200. White is the class of titanium whites alone.
 */
export function stockPredictor(count: number, dilution = DILUTION, shareExponent = 0): Predictor {
  const paints = readPigments().map((paint) => ({
    ...paint,
    name: `${paint.name}, ${paint.file === 'acrylic27_KS.csv' ? 'emulsion' : 'heavy body'}`,
  }));
  const [white, black] = paints;
  const random = randomFrom(46);
  const others = shuffled(paints.slice(2), random);
  const stock: Pigment[] = [white, black, ...others];
  const colours = others.filter((paint) => !isWhite(paint));
  for (const share of PALED) stock.push(...colours.map((paint) => paled(paint, white, share)));
  if (count > stock.length)
    throw new Error(`A stock with ${count} clays was given; ${stock.length} exist.`);
  stock.length = count;
  const sizes = [...stock.map(() => LATENTS), SHARED];
  const precision = new BlockMatrix(sizes);
  sizes.forEach((size, i) => {
    const block = precision.block(i, i);
    for (let k = 0; k < size; k++) block[k * size + k] = 1;
  });
  return {
    coefficients: stock.map(({ absorption, scattering }) => ({ absorption, scattering })),
    model: {
      prior: shippedPrior(),
      clays: stock.map((paint, i) => ({
        name: paint.name,
        clayClass: classOf(paint),
        latent: new Float64Array(LATENTS),
        group: 0,
        pinned: i === 0,
        tiles: 0,
        ownTiles: 0,
      })),
      physics: { dilution, shareExponent, scatteringPerMm: 20 },
      combinations: [],
      sharedBlock: stock.length,
      factor: factorise(precision),
      combinationSpread: 0,
      missFactor: 1,
      geometry: 'included',
    },
  };
}

/** The same stock as plain arrays, for the search that shares no code with the product. */
export function stockPlain(
  { coefficients, model }: Predictor,
  weights: ColourWeights = colourWeights('D50', 2),
): PlainStock {
  return {
    clays: coefficients.map(({ absorption, scattering }, i) => ({
      absorption,
      scattering,
      white: model.clays[i].clayClass === 'white',
    })),
    weights,
    surface: claySurface(model.geometry),
    dilution: model.physics.dilution,
    shareExponent: model.physics.shareExponent,
  };
}

/** Place of an aim: inside the gamut or nearly, at its most chromatic edge, or beyond. */
export type AimKind = 'inside' | 'edge' | 'outside';
export interface SeededAim {
  readonly kind: AimKind;
  /** D50, 2 degree. */
  readonly lab: Lab;
}

const KINDS: readonly AimKind[] = ['inside', 'edge', 'outside'];
/**
 * Clays alone and in pairs of these parts: the most chromatic of them at a hue and lightness
 * represents the edge, since a third clay seldom adds chroma.
 */
const EDGE_PAIRS = [
  [1, 1],
  [1, 3],
  [3, 1],
  [1, 8],
  [8, 1],
] as const;

/**
 * Aims in turn inside the gamut (a recipe's colour, each axis moved by about 1), at its edge (the
 * most chromatic pair close to a drawn hue and lightness, each axis moved by about 0.5) and outside
 * (that with 5 units and 20 to 60 % more chroma). The same arguments give the same aims.
 */
export function seededAims(predictor: Predictor, count: number, seed: number): SeededAim[] {
  const random = randomFrom(seed);
  const stock = stockPlain(predictor);
  const cloud = edgeCloud(stock);
  const moved = (v: number, by: number) => v + by * random.normal();
  const edge = (): Lab => {
    const hue = 2 * Math.PI * random.uniform();
    const lightness = 20 + 70 * random.uniform();
    for (let reach = 1; ; reach *= 1.5) {
      const near = cloud.filter(
        ([l, a, b]) =>
          Math.abs(l - lightness) < 5 * reach &&
          Math.cos(Math.atan2(b, a) - hue) > Math.cos(Math.min(Math.PI, 0.15 * reach)),
      );
      if (near.length < 5) continue;
      return near.reduce((most, lab) => (chroma(lab) > chroma(most) ? lab : most));
    }
  };
  return Array.from({ length: count }, (_, i) => {
    const kind = KINDS[i % KINDS.length];
    if (kind === 'inside') {
      const [l, a, b] = plainMix(stock, recipe(stock, random));
      return { kind, lab: [moved(l, 1), moved(a, 1), moved(b, 1)] };
    }
    const [l, a, b] = edge();
    const push = 1.2 + 0.4 * random.uniform() + 5 / Math.max(1, Math.hypot(a, b));
    if (kind === 'outside') return { kind, lab: [l, push * a, push * b] };
    return { kind, lab: [moved(l, 0.5), moved(a, 0.5), moved(b, 0.5)] };
  });
}

function edgeCloud(stock: PlainStock): Lab[] {
  return stock.clays.flatMap((_, one) => [
    plainMix(stock, [{ clay: one, parts: 1 }]),
    ...stock.clays.slice(one + 1).flatMap((_, at) =>
      EDGE_PAIRS.map(([own, others]) =>
        plainMix(stock, [
          { clay: one, parts: own },
          { clay: one + 1 + at, parts: others },
        ]),
      ),
    ),
  ]);
}

function recipe(stock: PlainStock, random: Random) {
  const clays = new Set<number>();
  const wanted = Math.min(stock.clays.length, random.whole(1, 4));
  while (clays.size < wanted) clays.add(random.whole(0, stock.clays.length - 1));
  return [...clays].map((clay) => ({ clay, parts: random.whole(1, 3) }));
}

function chroma([, a, b]: Lab): number {
  return Math.hypot(a, b);
}

function isWhite(paint: Pigment): boolean {
  return paint.name.startsWith('Titanium White');
}

function classOf(paint: Pigment): ClayClass {
  if (isWhite(paint)) return 'white';
  const own = classOfPigment(paint);
  return own === 'white' ? 'pastel' : own;
}

function paled(paint: Pigment, white: Pigment, share: number): Pigment {
  const blend = (own: Float64Array, other: Float64Array) =>
    own.map((v, band) => (1 - share) * v + share * other[band]);
  return {
    name: `${paint.name}, paled ${share}`,
    absorption: blend(paint.absorption, white.absorption),
    scattering: blend(paint.scattering, white.scattering),
  };
}

function shuffled<T>(items: readonly T[], random: Random): T[] {
  const out = [...items];
  for (let i = out.length - 1; i > 0; i--) {
    const j = random.whole(0, i);
    [out[i], out[j]] = [out[j], out[i]];
  }
  return out;
}
