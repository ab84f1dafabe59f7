/**
 * Is the ± true? Synthetic studios whose clays are real paints left out of the prior.
 *
 * Each studio: white, black and four other paints of one collection, without them, and without
 * paints of the same name in the other collection, in the prior. Every other paint gets 1 to 5
 * tiles: masstone, tints, one darkened, one paired. Readings carry 0.5 units of noise an axis; half
 * of the studios are read from photos whose tiles share an error of 0.7; parts are cut by hand, 3 %
 * off; mixes depart from simple addition by 4 %. Prediction: mixes of one to three clays never
 * baked. Scored against the truth: share of true colours inside the 90 % region, mean log density,
 * median volume of the region as the radius of a sphere, by number of tiles of the least known clay
 * and by its class.
 *
 * Rivals:  one constant covariance, that of all errors of the other half of the studios; and the
 *          plain Gaussian at the optimum.
 *
 * Run:     npx tsx bench/honest.ts [--studios 60]
 */
import { parseArgs } from 'node:util';
import { modelFromFit } from '../src/core/clay/clay-model.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { openModel, plainCovariance, predictMix } from '../src/core/clay/predict.ts';
import { type Pigment, priorFromPigments } from '../src/core/clay/prior-from-pigments.ts';
import type { TileReading } from '../src/core/clay/tile-reading.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { family, type Parts, trueLab } from './left-out-paints.ts';
import { paintCollection } from './paint-studio.ts';
import { learn, predict, readPastes } from './pastes.ts';
import { mean, quantile, type Random, randomFrom } from './random.ts';

const weights = colourWeights('D50', 2);
const TRUTH = { noise: 0.5, photo: 0.7, parts: 0.03, departure: 0.04 };
/** 90 % of a chi-squared variable of three degrees. */
const NINETY = 6.2514;

export interface Row {
  readonly studio: number;
  readonly tiles: number;
  readonly clayClass: string;
  /** True minus predicted, CIELAB. */
  readonly miss: readonly number[];
  readonly covariance: Float64Array;
  readonly plain: Float64Array;
}

/** One studio: tiles read, clays learned, unseen mixes predicted. */
export function studioRows(studio: number, random: Random): Row[] {
  const { all, white, black, pool } = paintCollection(studio);
  // Clay is often sold paled: one of the four is a paint already mixed with white.
  const others = Array.from({ length: 4 }, (_, i) => {
    const [paint] = pool.splice(random.whole(0, pool.length - 1), 1);
    return i === studio % 8 ? paled(paint, white, random.whole(1, 6)) : paint;
  });
  const out = new Set(others.map((p) => family(p.name)));
  const prior = priorFromPigments(all.filter((p) => !out.has(family(p.name))));
  const departures = new Map<string, Map<Pigment, number>>();
  /**
   * Parts as they really are: a combination departs in the same way every time, hands err every
   * time.
   */
  const real = (parts: Parts, byHand: boolean): Parts => {
    if (parts.length === 1) return parts;
    const key = parts
      .map(([p]) => p.name)
      .sort()
      .join('+');
    let departure = departures.get(key);
    if (departure === undefined) {
      const main = parts.reduce((a, b) => (b[1] > a[1] ? b : a))[0];
      departure = new Map(
        parts.map(([p]) => [p, p === main ? 0 : TRUTH.departure * random.normal()]),
      );
      departures.set(key, departure);
    }
    const known = departure;
    return parts.map(([p, n]) => {
      const hand = byHand ? TRUTH.parts * random.normal() : 0;
      return [p, n * Math.exp(known.get(p)! + hand)] as const;
    });
  };
  const photos = studio % 4 >= 2 ? 2 : 0;
  const photoError = Array.from({ length: photos }, () =>
    [0, 1, 2].map(() => TRUTH.photo * random.normal()),
  );
  const read = (parts: Parts): TileReading => {
    const total = parts.reduce((sum, [, n]) => sum + n, 0);
    const photo = photos > 0 ? random.whole(0, photos - 1) : -1;
    const truth = trueLab(real(parts, true));
    const lab = truth.map(
      (v, i) => v + TRUTH.noise * random.normal() + (photo >= 0 ? photoError[photo][i] : 0),
    );
    return {
      tile: parts.map(([p, n]) => `${n} ${p.name}`).join(' + '),
      parts: parts.map(([p, n]) => ({ clay: p.name, share: n / total })),
      colour: { kind: 'lab', lab: [lab[0], lab[1], lab[2]], light: 'D50', observer: 2 },
      spread: TRUTH.noise,
      geometry: 'included',
      partsSpread: parts.length > 1 ? TRUTH.parts : 0,
      ...(photo >= 0 ? { photo: `photo ${photo}` } : {}),
    };
  };
  const readings: TileReading[] = [
    read([[white, 1]]),
    read([[black, 1]]),
    read([
      [black, 1],
      [white, 15],
    ]),
    read([
      [black, 1],
      [white, 63],
    ]),
  ];
  const tilesOf = new Map<Pigment, number>();
  others.forEach((p, i) => {
    const count = 1 + ((studio + i) % 5);
    const plan: Parts[] = [
      [[p, 1]],
      [
        [p, 1],
        [white, 3],
      ],
      [
        [p, 16],
        [black, 1],
      ],
      [
        [p, 1],
        [white, 15],
      ],
      [
        [p, 1],
        [white, 1],
      ],
    ];
    for (const parts of plan.slice(0, count)) readings.push(read(parts));
    tilesOf.set(p, count);
  });
  const fit = fitClays(readings, prior);
  const model = modelFromFit(fit);
  const predictor = openModel(model);
  const rows: Row[] = [];
  const n = () => random.whole(1, 6);
  for (let i = 0; i < 10; i++) {
    const p = others[i % 4];
    const q = others[(i + 1 + (i >> 2)) % 4];
    const kinds: Parts[] = [
      [
        [p, n()],
        [white, n()],
      ],
      [
        [p, n()],
        [q, n()],
      ],
      [
        [p, n()],
        [q, n()],
        [white, n()],
      ],
      [
        [p, n()],
        [white, n()],
        [black, 1],
      ],
    ];
    for (const mix of kinds) {
      if (new Set(mix.map(([x]) => x)).size < mix.length) continue;
      const total = mix.reduce((sum, [, k]) => sum + k, 0);
      const parts = mix.map(([x, k]) => ({
        clay: fit.set.clays.indexOf(x.name),
        share: k / total,
      }));
      const options = { weights, geometry: 'included', partsSpread: TRUTH.parts } as const;
      const { lab, covariance } = predictMix(predictor, parts, options);
      const truth = trueLab(real(mix, true));
      const least = mix.reduce((a, b) =>
        (tilesOf.get(b[0]) ?? 9) < (tilesOf.get(a[0]) ?? 9) ? b : a,
      )[0];
      rows.push({
        studio,
        tiles: tilesOf.get(least) ?? 4,
        clayClass: model.clays[fit.set.clays.indexOf(least.name)].clayClass,
        miss: truth.map((v, k) => v - lab[k]),
        covariance,
        plain: plainCovariance(predictor, parts, options),
      });
    }
  }
  return rows;
}

function paled(paint: Pigment, white: Pigment, whites: number): Pigment {
  const blend = (a: Float64Array, b: Float64Array) =>
    a.map((v, i) => (v + whites * b[i]) / (1 + whites));
  return {
    name: paint.name,
    absorption: blend(paint.absorption, white.absorption),
    scattering: blend(paint.scattering, white.scattering),
  };
}

interface Score {
  readonly inside: number;
  readonly logDensity: number;
  readonly radius: number;
}

/** Score of Gaussian regions on rows. */
export function score(rows: readonly Row[], covarianceOf: (row: Row) => Float64Array): Score {
  let inside = 0;
  const densities: number[] = [];
  const radii: number[] = [];
  for (const row of rows) {
    const { distance, logDeterminant } = gauss(row.miss, covarianceOf(row));
    if (distance <= NINETY) inside++;
    densities.push(-0.5 * (distance + logDeterminant + 3 * Math.log(2 * Math.PI)));
    radii.push(Math.sqrt(NINETY) * Math.exp(logDeterminant / 6));
  }
  return {
    inside: inside / rows.length,
    logDensity: mean(densities),
    radius: quantile(radii, 0.5),
  };
}

export function gauss(
  x: readonly number[],
  c: Float64Array,
): { distance: number; logDeterminant: number } {
  const l00 = Math.sqrt(c[0]);
  const l10 = c[3] / l00;
  const l11 = Math.sqrt(c[4] - l10 * l10);
  const l20 = c[6] / l00;
  const l21 = (c[7] - l20 * l10) / l11;
  const l22 = Math.sqrt(c[8] - l20 * l20 - l21 * l21);
  const a = x[0] / l00;
  const b = (x[1] - l10 * a) / l11;
  const d = (x[2] - l20 * a - l21 * b) / l22;
  return { distance: a * a + b * b + d * d, logDeterminant: 2 * Math.log(l00 * l11 * l22) };
}

/** Covariance of the errors of other studios: the estimate without a model of uncertainty. */
export function constantCovariance(rows: readonly Row[]): Float64Array {
  const c = new Float64Array(9);
  for (const { miss } of rows) {
    for (let i = 0; i < 3; i++)
      for (let j = 0; j < 3; j++) c[i * 3 + j] += (miss[i] * miss[j]) / rows.length;
  }
  return c;
}

/**
 * The same scores on measured pastes: few rows, and batches that changed between tints and
 * mixtures.
 */
function pastes(): void {
  const { tints, mixtures } = readPastes();
  console.log('\nmeasured pastes, mixtures predicted from tints (and from the other folds)');
  for (const source of ['spectra', 'lab'] as const) {
    const alone = predict(learn(tints, source, randomFrom(1)), mixtures);
    const folded = [0, 1, 2, 3, 4].flatMap((f) =>
      predict(
        learn([...tints, ...mixtures.filter((_, i) => i % 5 !== f)], source, randomFrom(f)),
        mixtures.filter((_, i) => i % 5 === f),
      ),
    );
    for (const [name, predicted] of [
      ['tints', alone],
      ['folds', folded],
    ] as const) {
      const rows = predicted.map(({ card, lab, covariance }) => ({
        studio: 0,
        tiles: 0,
        clayClass: 'concentrate',
        miss: card.lab.map((v, i) => v - lab[i]),
        covariance,
        plain: covariance,
      }));
      // The constant rival knows the errors it is judged by, so no constant could do better here.
      const constant = constantCovariance(rows);
      for (const [who, of] of [
        ['ours', (r: Row) => r.covariance],
        ['one constant', () => constant],
      ] as const) {
        const { inside, logDensity, radius } = score(rows, of);
        console.log(
          `${source.padEnd(8)} ${name.padEnd(6)} ${who.padEnd(13)} ${rows.length} mixes  inside ${(100 * inside).toFixed(0)} %  log density ${logDensity.toFixed(2)}  radius ${radius.toFixed(2)}`,
        );
      }
    }
  }
}

function main(): void {
  const { values } = parseArgs({
    options: { studios: { type: 'string', default: '60' }, seed: { type: 'string', default: '1' } },
  });
  const rows: Row[] = [];
  for (let s = 0; s < Number(values.studios); s++)
    rows.push(...studioRows(s, randomFrom(Number(values.seed) * 1000 + s)));
  // The constant rival is made from the other half, so no studio is judged by its own errors.
  const halves = [0, 1].map((h) =>
    constantCovariance(rows.filter((r) => (r.studio >> 2) % 2 === h)),
  );
  const forecasters: [string, (row: Row) => Float64Array][] = [
    ['ours', (r) => r.covariance],
    ['plain Gaussian', (r) => r.plain],
    ['one constant', (r) => halves[1 - ((r.studio >> 2) % 2)]],
  ];
  console.log(`${values.studios} studios, ${rows.length} mixes predicted`);
  const table = (title: string, part: readonly Row[]) => {
    for (const [name, of] of forecasters) {
      const { inside, logDensity, radius } = score(part, of);
      console.log(
        `${title.padEnd(22)} ${name.padEnd(15)} ${String(part.length).padStart(5)}  inside ${(100 * inside).toFixed(1).padStart(5)} %  log density ${logDensity.toFixed(2).padStart(7)}  radius ${radius.toFixed(2).padStart(5)}`,
      );
    }
  };
  table('all', rows);
  for (const tiles of [1, 2, 3, 4]) {
    table(
      `tiles ${tiles}${tiles === 4 ? '+' : ''}`,
      rows.filter((r) => (tiles === 4 ? r.tiles >= 4 : r.tiles === tiles)),
    );
  }
  for (const clayClass of [...new Set(rows.map((r) => r.clayClass))]) {
    table(
      `class ${clayClass}`,
      rows.filter((r) => r.clayClass === clayClass),
    );
  }
}

if (process.argv[1]?.endsWith('honest.ts')) {
  main();
  pastes();
}
