/**
 * A studio with known true colours: real paints mixed by textbook formulas, written here
 * independently of the product's (K and S add in proportion; Kubelka and Munk 1931; films, Kubelka
 * 1948; surface, Saunderson 1942 with k1 = 0.04, k2 = 0.6), and read with a given amount of seeded
 * noise.
 */
import { randomFrom } from '../../bench/random.ts';
import { modelFromFit } from '../../src/core/clay/clay-model.ts';
import type { Fit } from '../../src/core/clay/fit-result.ts';
import type { Film } from '../../src/core/clay/mixture.ts';
import { openModel, predictMix } from '../../src/core/clay/predict.ts';
import type { TileReading } from '../../src/core/clay/tile-reading.ts';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import { BANDS } from '../../src/core/colour/grid.ts';
import { labFromSpectrum } from '../../src/core/colour/spaces.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { colourWeights } from '../../src/core/colour/weights.ts';
import { readPigments } from '../../tools/pigments.ts';

export { randomFrom } from '../../bench/random.ts';

export const D50 = colourWeights('D50', 2);

export interface Paint {
  readonly name: string;
  readonly absorption: Float64Array;
  readonly scattering: Float64Array;
}
/** Paints and how many parts of each. */
export type Mix = readonly (readonly [paint: Paint, parts: number])[];

const paints = readPigments(['acrylic19_KS.csv']);

/** A measured paint of R. S. Berns, "Artist paint spectral database", CIC24 (2016), by name. */
export function paint(name: string): Paint {
  const found = paints.find((p) => p.name === name);
  if (found === undefined) throw new Error(`no paint ${name}`);
  return found;
}

export interface TileOptions {
  readonly geometry?: 'included' | 'excluded';
  readonly film?: { readonly thicknessMm: number; readonly backing: number };
  /** Scattering of the white per mm. */
  readonly perMm?: number;
  readonly kind?: 'lab' | 'spectrum';
  readonly spread?: number;
  /** Standard deviation added to each of L, a, b, or to each band as the product assumes. */
  readonly noise?: number;
  /** Shift of the Lab that was read, like a photo's correction error. */
  readonly shift?: Lab;
  readonly partsSpread?: number;
  readonly photo?: string;
  readonly name?: string;
  /** The recipe written down, where it differs from the real one. */
  readonly believed?: Mix;
  readonly random?: ReturnType<typeof randomFrom>;
}

export function trueSpectrum(mix: Mix, options: TileOptions = {}): Float64Array {
  const total = mix.reduce((sum, [, parts]) => sum + parts, 0);
  const [k1, k2] = [0.04, 0.6];
  return Float64Array.from({ length: BANDS }, (_, band) => {
    const sum = (curve: 'absorption' | 'scattering') =>
      mix.reduce((all, [p, parts]) => all + (parts / total) * p[curve][band], 0);
    const [k, s] = [sum('absorption'), sum('scattering')];
    const a = 1 + k / s;
    const b = Math.sqrt(a * a - 1);
    let inside = a - b;
    if (options.film !== undefined) {
      const { thicknessMm, backing } = options.film;
      const bCoth = b / Math.tanh(b * s * thicknessMm * (options.perMm ?? 20));
      inside = (1 - backing * (a - bCoth)) / (a - backing + bCoth);
    }
    const body = ((1 - k1) * (1 - k2) * inside) / (1 - k2 * inside);
    return options.geometry === 'excluded' ? body : k1 + body;
  });
}

export function trueLab(mix: Mix, options: TileOptions = {}): Lab {
  return labFromSpectrum(trueSpectrum(mix, options), D50);
}

export function tile(mix: Mix, options: TileOptions = {}): TileReading {
  const { noise = 0, random = randomFrom(1), shift = [0, 0, 0], kind = 'lab', film } = options;
  const spectrum = trueSpectrum(mix, options);
  const believed = options.believed ?? mix;
  const total = believed.reduce((sum, [, parts]) => sum + parts, 0);
  const lab = labFromSpectrum(spectrum, D50).map((v, i) => v + shift[i] + noise * random.normal());
  const spread = options.spread ?? (kind === 'lab' ? 0.5 : 0.2);
  return {
    tile: options.name ?? mix.map(([p, parts]) => `${parts} ${p.name}`).join(' + '),
    parts: believed.map(([p, parts]) => ({ clay: p.name, share: parts / total })),
    colour:
      kind === 'lab'
        ? { kind, lab: [lab[0], lab[1], lab[2]], light: 'D50', observer: 2 }
        : {
            kind,
            values: spectrum.map((v) => v + noise * (0.004 + 0.016 * v) * random.normal()),
            observed: new Uint8Array(BANDS).fill(1),
          },
    spread,
    geometry: options.geometry ?? 'included',
    partsSpread: options.partsSpread ?? 0,
    ...(film === undefined ? {} : { film }),
    ...(options.photo === undefined ? {} : { photo: options.photo }),
  };
}

/** A backing for predictions, as seen by light inside the clay. */
export function filmOf({ thicknessMm, backing }: { thicknessMm: number; backing: number }): Film {
  return { thicknessMm, backing: new Float64Array(BANDS).fill(backing) };
}

const white = paint('Titanium White');
const black = paint('Bone Black');
const red = paint('Pyrrole Red');
const blue = paint('Cobalt Blue');
const yellow = paint('Diarylide Yellow');
export const PAINTS = { white, black, red, blue, yellow };

/**
 * Five paints and the tiles a careful user bakes of them: masstones, tints, one darkened yellow.
 */
export const STUDIO: readonly Mix[] = [
  [[white, 1]],
  [[black, 1]],
  [
    [black, 1],
    [white, 15],
  ],
  [
    [black, 1],
    [white, 63],
  ],
  ...[red, blue, yellow].flatMap((p): Mix[] => [
    [[p, 1]],
    [
      [p, 1],
      [white, 3],
    ],
    [
      [p, 1],
      [white, 15],
    ],
  ]),
  [
    [yellow, 16],
    [black, 1],
  ],
];

/** Mixes of the studio's paints that were never baked. */
export const UNSEEN: readonly Mix[] = [
  [
    [red, 1],
    [white, 1],
  ],
  [
    [blue, 3],
    [white, 2],
  ],
  [
    [yellow, 2],
    [white, 1],
  ],
  [
    [red, 1],
    [yellow, 3],
  ],
  [
    [blue, 1],
    [yellow, 4],
  ],
  [
    [blue, 2],
    [red, 1],
  ],
  [
    [red, 2],
    [yellow, 3],
    [white, 4],
  ],
  [
    [blue, 2],
    [yellow, 3],
    [white, 1],
  ],
  [
    [red, 5],
    [black, 1],
  ],
  [
    [blue, 3],
    [black, 1],
    [white, 6],
  ],
];

/** STUDIO with a third tint of every paint and four checks, so that every tile is predicted by others. */
export const RICH: readonly Mix[] = [
  ...STUDIO,
  ...[red, blue, yellow].map(
    (p): Mix => [
      [p, 1],
      [white, 1],
    ],
  ),
  [
    [red, 1],
    [yellow, 2],
  ],
  [
    [blue, 1],
    [yellow, 2],
  ],
  [
    [blue, 1],
    [red, 1],
    [white, 1],
  ],
  [
    [black, 1],
    [white, 5],
  ],
];

export interface Prediction {
  readonly lab: Lab;
  readonly truth: Lab;
  readonly dE00: number;
  readonly covariance: Float64Array;
  /** Root of the sum of the variances of L, a and b. */
  readonly expected: number;
}

/** The predictions of a fit for some mixes, beside the truth. */
export function predict(fit: Fit, mixes: readonly Mix[], partsSpread = 0): Prediction[] {
  const predictor = openModel(modelFromFit(fit));
  return mixes.map((mix) => {
    const total = mix.reduce((sum, [, parts]) => sum + parts, 0);
    const parts = mix.map(([p, n]) => ({
      clay: fit.set.clays.indexOf(p.name),
      share: n / total,
    }));
    const { lab, covariance } = predictMix(predictor, parts, {
      weights: D50,
      geometry: 'included',
      partsSpread,
    });
    const truth = trueLab(mix);
    return {
      lab,
      truth,
      dE00: deltaE2000(lab, truth),
      covariance,
      expected: Math.sqrt(covariance[0] + covariance[4] + covariance[8]),
    };
  });
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
