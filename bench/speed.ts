/**
 * Speed, as growth and ratio. Every figure is a median of several runs in this one process; compare
 * ratios, not seconds, between machines.
 *
 *  1. Fits: growth with clays and tiles; 22 clays with 64 spectra, 48 clays with 240 Lab tiles.
 *  2. The hot loop: one prediction of 4 clays, 36 bands, to Lab, against a first plain trial.
 *  3. The exhaustive search: recipes a second.
 *
 * Run: npx tsx bench/speed.ts
 */
import { modelFromFit } from '../src/core/clay/clay-model.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { FIT_SETTINGS } from '../src/core/clay/fit-settings.ts';
import { openModel } from '../src/core/clay/predict.ts';
import { shippedPrior } from '../src/core/clay/shipped-prior.ts';
import type { TileReading } from '../src/core/clay/tile-reading.ts';
import { BANDS } from '../src/core/colour/grid.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { mixEvaluator, partCurves } from '../src/core/search/mix-evaluator.ts';
import { startSearch } from '../src/core/search/search.ts';
import { readPigments } from '../tools/pigments.ts';
import { virtualTile } from './left-out-paints.ts';
import { readingOf, readPastes } from './pastes.ts';
import { quantile, randomFrom } from './random.ts';

const weights = colourWeights('D50', 2);

function medianMs(work: () => void, runs: number): number {
  work();
  const times = Array.from({ length: runs }, () => {
    const start = performance.now();
    work();
    return performance.now() - start;
  });
  return quantile(times, 0.5);
}

/** Lab tiles of a stock: white and black, each other clay alone, tinted, darkened, and in pairs. */
export function stockTiles(clays: number, tiles: number): TileReading[] {
  const random = randomFrom(clays);
  const paints = readPigments().map((paint, i) => ({ ...paint, name: `${paint.name} ${i}` }));
  const [white, black] = paints;
  const others = paints.slice(2).filter((paint) => !paint.name.startsWith('Titanium White'));
  // For more clays than paints were measured: further batches, each a little weaker, under other
  // names.
  const paintsMeasured = [...others];
  for (let batch = 2; others.length < clays - 2; batch++) {
    const strength = 0.9 ** (batch - 1);
    for (const p of paintsMeasured) {
      const absorption = p.absorption.map((k) => strength * k);
      others.push({ ...p, name: `${p.name}, lot ${batch}`, absorption });
    }
  }
  others.length = clays - 2;
  const out = [virtualTile([[white, 1]], random), virtualTile([[black, 1]], random)];
  const plans = [
    (i: number) => [[others[i], 1]] as const,
    (i: number) =>
      [
        [others[i], 1],
        [white, 3],
      ] as const,
    (i: number) =>
      [
        [others[i], 1],
        [white, 15],
      ] as const,
    (i: number) =>
      [
        [others[i], 16],
        [black, 1],
      ] as const,
    (i: number) =>
      [
        [others[i], 1],
        [others[(i + 7) % others.length], 2],
      ] as const,
  ];
  for (const plan of plans) {
    for (let i = 0; i < others.length && out.length < tiles; i++)
      out.push(virtualTile(plan(i), random));
  }
  return out;
}

function fits(): void {
  const prior = shippedPrior();
  const { tints } = readPastes();
  const spectra = tints.map((card) => readingOf(card, 'spectra', randomFrom(1)));
  console.log(
    `22 clays,  64 spectra: ${medianMs(() => fitClays(spectra, prior), 3).toFixed(0)} ms`,
  );
  let first = 0;
  for (const [clays, tiles] of [
    [12, 60],
    [24, 120],
    [48, 240],
  ]) {
    const readings = stockTiles(clays, tiles);
    const ms = medianMs(() => fitClays(readings, prior), 3);
    first ||= ms;
    const fit = fitClays(readings, prior);
    console.log(
      `${clays} clays, ${String(readings.length).padStart(3)} Lab tiles: ${ms.toFixed(0).padStart(5)} ms, ${(ms / first).toFixed(1)} times the first; ${fit.iterations} steps, converged ${fit.converged}`,
    );
  }
}

/** A stock of 48 with one more tile: started at the earlier fit, and learned from nothing. */
function refits(): void {
  const prior = shippedPrior();
  const readings = stockTiles(48, 240);
  const known = fitClays(readings.slice(0, -1), prior);
  const pairs = [1, 2, 3].map(() => {
    const whole = timed(() => fitClays(readings, prior));
    const begun = timed(() => fitClays(readings, prior, FIT_SETTINGS, known));
    return { whole, begun, ratio: begun / whole };
  });
  const cold = fitClays(readings, prior);
  const warm = fitClays(readings, prior, FIT_SETTINGS, known);
  const apart = cold.tiles.map((t, i) =>
    Math.max(...t.residual.map((v, r) => Math.abs(v - warm.tiles[i].residual[r]))),
  );
  const median = (pick: (p: (typeof pairs)[number]) => number) => quantile(pairs.map(pick), 0.5);
  console.log(
    `48 clays, one more tile: ${median((p) => p.begun).toFixed(0)} ms started at the earlier fit, ${median((p) => p.whole).toFixed(0)} ms from nothing, ratio ${median((p) => p.ratio).toFixed(2)}; fitted tiles differ by ${Math.max(...apart).toFixed(3)} at most (CIELAB axis)`,
  );
}

/**
 * The obvious first version: mix, K/S, reflectance, surface, XYZ, Lab, in one function a recipe.
 */
function plainTrial(
  k: Float64Array[],
  s: Float64Array[],
  counts: number[],
  out: Float64Array,
): void {
  const { x: wx, y: wy, z: wz, white } = weights;
  let x = 0;
  let y = 0;
  let z = 0;
  for (let b = 0; b < BANDS; b++) {
    let sumK = 0;
    let sumS = 0;
    for (let i = 0; i < 4; i++) {
      sumK += counts[i] * k[i][b];
      sumS += counts[i] * s[i][b];
    }
    const q = sumK / sumS;
    const r = 1 + q - Math.sqrt(q * q + 2 * q);
    const rm = 0.04 + (0.96 * 0.4 * r) / (1 - 0.6 * r);
    x += wx[b] * rm;
    y += wy[b] * rm;
    z += wz[b] * rm;
  }
  const f = (t: number) => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116);
  const fy = f(y / white[1]);
  out[0] = 116 * fy - 16;
  out[1] = 500 * (f(x / white[0]) - fy);
  out[2] = 200 * (fy - f(z / white[2]));
}

function hotLoop(): void {
  const predictor = openModel(modelFromFit(fitClays(stockTiles(12, 60), shippedPrior())));
  const curves = partCurves(predictor).slice(0, 4);
  const k = curves.map((c) => c.absorption);
  const s = curves.map((c) => c.scattering);
  const evaluator = mixEvaluator(weights, 'included');
  const out = new Float64Array(3);
  const white = new Float64Array(BANDS);
  const colour = new Float64Array(BANDS);
  const scattering = new Float64Array(BANDS);
  const rounds = 400_000;
  let sink = 0;
  const counts = [1, 1, 1, 1];
  const plain = () => {
    for (let i = 0; i < rounds; i++) {
      counts[3] = 1 + (i & 7);
      plainTrial(k, s, counts, out);
      sink += out[0];
    }
  };
  // The search adds one part to running sums and asks for the colour, as here.
  const ours = () => {
    for (let i = 0; i < rounds; i++) {
      if ((i & 7) === 0) {
        for (let b = 0; b < BANDS; b++) {
          white[b] = k[0][b];
          colour[b] = k[1][b] + k[2][b];
          scattering[b] = s[0][b] + s[1][b] + s[2][b];
        }
      }
      for (let b = 0; b < BANDS; b++) {
        colour[b] += k[3][b];
        scattering[b] += s[3][b];
      }
      evaluator.labInto(out, white, colour, scattering, 0.98);
      sink += out[0];
    }
  };
  const pairs = Array.from({ length: 7 }, () => {
    const a = timed(plain);
    const b = timed(ours);
    return { plain: (a / rounds) * 1000, ours: (b / rounds) * 1000 };
  }).slice(1);
  const median = (pick: (p: (typeof pairs)[number]) => number) => quantile(pairs.map(pick), 0.5);
  console.log(
    `one prediction, 4 clays to Lab: ${median((p) => p.ours).toFixed(3)} us; plain trial ${median((p) => p.plain).toFixed(3)} us; ratio ${median((p) => p.ours / p.plain).toFixed(2)} (${sink > 0 ? 'used' : ''})`,
  );
  const run = startSearch(predictor, {
    aim: [50, 20, 20],
    weights,
    clays: predictor.model.clays.map((_, i) => i),
    mostClays: 4,
    parts: 12,
    top: 10,
  });
  const start = performance.now();
  while (!run.step(100_000));
  const ms = performance.now() - start;
  console.log(
    `exhaustive search, 12 clays, 4 at most, 12 parts: ${run.tried} recipes, ${((ms / run.tried) * 1000).toFixed(3)} us each`,
  );
}

function timed(work: () => void): number {
  const start = performance.now();
  work();
  return performance.now() - start;
}

if (process.argv[1]?.endsWith('speed.ts')) {
  fits();
  refits();
  hotLoop();
}
