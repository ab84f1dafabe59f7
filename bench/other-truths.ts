/**
 * Is the ± true where the theory is not? Virtual studios of paints left out of the prior, mixed by other
 * laws than the model's own.
 *
 * Each studio: white, black and eight other paints of one collection. Neither these paints nor the same
 * pigments of the other collection are in the prior. Tiles: every clay alone, and each colour and black
 * 1:3 and 1:9 with white; readings carry 0.5 units of noise an axis, parts are cut 3 % off. With `more`,
 * 30 tiles of random mixes of two or three clays. Predicted: 200 mixes of two or three clays that were
 * not baked.
 *
 * Truths: amounts count to a power (1, 1.15, 1.3); absorption crowds out scattering; another surface;
 * shares of wrong rows (two tiles exchanged); numbers without any sense.
 * Scores: share of true colours in the 90 % region, share far outside (past the 99.99 % region), stated
 * size over true size of the errors, mean CIEDE2000, mean log density.
 *
 * Run: npx tsx bench/other-truths.ts [--studios 8] [--only power] [--each]
 */
import { parseArgs } from 'node:util';
import { modelFromFit } from '../src/core/clay/clay-model.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { openModel, predictMix } from '../src/core/clay/predict.ts';
import {
  classOfPigment,
  type Pigment,
  priorFromPigments,
} from '../src/core/clay/prior-from-pigments.ts';
import type { TileReading } from '../src/core/clay/tile-reading.ts';
import { deltaE2000 } from '../src/core/colour/difference.ts';
import { BANDS } from '../src/core/colour/grid.ts';
import { labFromSpectrum } from '../src/core/colour/spaces.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { reflectanceFromRatio } from '../src/core/optics/kubelka-munk.ts';
import { measuredFromInternal } from '../src/core/optics/surface.ts';
import { readPigments } from '../tools/pigments.ts';
import { gauss } from './honest.ts';
import { family, type Parts } from './left-out-paints.ts';
import { mean, type Random, randomFrom } from './random.ts';

const weights = colourWeights('D50', 2);
const NOISE = 0.5;
const HAND = 0.03;
/** 90 % and 99.99 % of a chi-squared variable of three degrees. */
const NINETY = 6.2514;
const FAR = 21.11;

interface Truth {
  readonly name: string;
  /** Amounts count by share to this power. */
  readonly power?: number;
  /** Scattering lost to what absorbs: S - crowding K, at least a tenth of S. */
  readonly crowding?: number;
  readonly surface?: { readonly outer: number; readonly inner: number };
  /** Pairs of tiles whose readings were exchanged. */
  readonly swaps?: number;
  /** Colours that have nothing to do with the recipes. */
  readonly random?: boolean;
  readonly more?: boolean;
}

const TRUTHS: readonly Truth[] = [
  { name: 'theory right' },
  { name: 'theory right, 30 more', more: true },
  { name: 'power 1.15', power: 1.15 },
  { name: 'power 1.15, 30 more', power: 1.15, more: true },
  { name: 'power 1.3', power: 1.3 },
  { name: 'power 1.3, 30 more', power: 1.3, more: true },
  { name: 'power 0.85', power: 0.85 },
  { name: 'crowding 0.1', crowding: 0.1 },
  { name: 'surface 0.03 / 0.45', surface: { outer: 0.03, inner: 0.45 } },
  { name: 'two tiles exchanged', swaps: 1 },
  { name: 'random numbers', random: true },
];

function trueLab(parts: Parts, truth: Truth): Lab {
  const total = parts.reduce((sum, [, n]) => sum + n, 0);
  const surface = { outer: 0.04, inner: 0.6, ...truth.surface, glossShare: 1 };
  const amounts = parts.map(([, n]) => (n / total) ** (truth.power ?? 1));
  const spectrum = Float64Array.from({ length: BANDS }, (_, band) => {
    let k = 0;
    let s = 0;
    parts.forEach(([paint], i) => {
      k += amounts[i] * paint.absorption[band];
      s += amounts[i] * paint.scattering[band];
    });
    const left = Math.max(0.1 * s, s - (truth.crowding ?? 0) * k);
    return measuredFromInternal(reflectanceFromRatio(k / left), surface);
  });
  return labFromSpectrum(spectrum, weights);
}

interface Row {
  readonly miss: readonly number[];
  readonly covariance: Float64Array;
  readonly dE00: number;
}

function studioRows(studio: number, truth: Truth): Row[] {
  const random = randomFrom(7000 + studio);
  const all = readPigments();
  const files = [...new Set(all.map((p) => p.file))];
  const set = all.filter((p) => p.file === files[studio % files.length]);
  const white = set.find((p) => p.name === 'Titanium White')!;
  const black = set.find((p) => classOfPigment(p) === 'black' && /black/i.test(p.name))!;
  const pool = set.filter((p) => p !== white && p !== black);
  const others = Array.from(
    { length: 8 },
    () => pool.splice(random.whole(0, pool.length - 1), 1)[0],
  );
  const out = new Set(others.map((p) => family(p.name)));
  const prior = priorFromPigments(all.filter((p) => !out.has(family(p.name))));
  const plan: Parts[] = [[[white, 1]], ...[...others, black].map((p): Parts => [[p, 1]])];
  for (const p of [...others, black])
    for (const n of [3, 9])
      plan.push([
        [p, 1],
        [white, n],
      ]);
  if (truth.more) for (let i = 0; i < 30; i++) plan.push(anyMix(random, [white, black, ...others]));
  const labs = plan.map((parts) => {
    if (truth.random)
      return [30 + 60 * random.uniform(), 80 * random.uniform() - 40, 80 * random.uniform() - 40];
    const hand: Parts = parts.map(([p, n]) =>
      parts.length > 1 ? ([p, n * Math.exp(HAND * random.normal())] as const) : ([p, n] as const),
    );
    return trueLab(hand, truth).map((v) => v + NOISE * random.normal());
  });
  for (let i = 0; i < (truth.swaps ?? 0); i++) {
    // Tiles that look unlike: exchanging two of one colour is no mistake anybody could see.
    const far = labs.flatMap((a, x) =>
      labs.flatMap((b, y) =>
        x < y && Math.hypot(...a.map((v, k) => v - b[k])) > 15 ? [[x, y]] : [],
      ),
    );
    const [x, y] = far[random.whole(0, far.length - 1)];
    [labs[x], labs[y]] = [labs[y], labs[x]];
  }
  const readings = plan.map((parts, i): TileReading => {
    const total = parts.reduce((sum, [, n]) => sum + n, 0);
    return {
      tile: `t${i}`,
      parts: parts.map(([p, n]) => ({ clay: p.name, share: n / total })),
      colour: { kind: 'lab', lab: labs[i] as unknown as Lab, light: 'D50', observer: 2 },
      spread: NOISE,
      geometry: 'included',
      partsSpread: parts.length > 1 ? HAND : 0,
    };
  });
  const fit = fitClays(readings, prior);
  const predictor = openModel(modelFromFit(fit));
  return Array.from({ length: 200 }, () => {
    const parts = anyMix(random, [white, black, ...others]);
    const total = parts.reduce((sum, [, n]) => sum + n, 0);
    const { lab, covariance } = predictMix(
      predictor,
      parts.map(([p, n]) => ({ clay: fit.set.clays.indexOf(p.name), share: n / total })),
      { weights, geometry: 'included', partsSpread: 0 },
    );
    const real = truth.random
      ? ([
          30 + 60 * random.uniform(),
          80 * random.uniform() - 40,
          80 * random.uniform() - 40,
        ] as Lab)
      : trueLab(parts, truth);
    return { miss: real.map((v, k) => v - lab[k]), covariance, dE00: deltaE2000(real, lab) };
  });
}

/** Two or three clays, one to six parts each. */
function anyMix(random: Random, clays: readonly Pigment[]): Parts {
  const left = [...clays];
  return Array.from(
    { length: random.whole(2, 3) },
    () => [left.splice(random.whole(0, left.length - 1), 1)[0], random.whole(1, 6)] as const,
  );
}

function main(): void {
  const { values } = parseArgs({
    options: {
      studios: { type: 'string', default: '8' },
      only: { type: 'string', default: '' },
      each: { type: 'boolean', default: false },
    },
  });
  console.log('truth                    inside   far  stated/true   mean  log density');
  for (const truth of TRUTHS.filter(({ name }) => name.includes(values.only))) {
    const each = Array.from({ length: Number(values.studios) }, (_, s) => studioRows(s, truth));
    if (values.each) for (const [s, rows] of each.entries()) show(`  studio ${s}`, rows);
    show(truth.name, each.flat());
  }
}

/** One line of scores. */
function show(name: string, rows: readonly Row[]): void {
  const scored = rows.map(({ miss, covariance }) => gauss(miss, covariance));
  const part = (limit: number) =>
    scored.filter(({ distance }) => distance <= limit).length / rows.length;
  const stated = mean(rows.map(({ covariance: c }) => c[0] + c[4] + c[8]));
  const seen = mean(rows.map(({ miss }) => miss.reduce((sum, v) => sum + v * v, 0)));
  const density = mean(
    scored.map(
      ({ distance, logDeterminant }) =>
        -0.5 * (distance + logDeterminant + 3 * Math.log(2 * Math.PI)),
    ),
  );
  console.log(
    `${name.padEnd(24)} ${(100 * part(NINETY)).toFixed(0).padStart(5)} % ${(100 * (1 - part(FAR))).toFixed(1).padStart(4)} %  ${Math.sqrt(
      stated / seen,
    )
      .toFixed(2)
      .padStart(10)}  ${mean(rows.map(({ dE00 }) => dE00))
      .toFixed(2)
      .padStart(5)}  ${density.toFixed(2).padStart(11)}`,
  );
}

if (process.argv[1]?.endsWith('other-truths.ts')) main();
