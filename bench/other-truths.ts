/**
 * Is the ± true where the theory is not? Virtual studios of paints left out of the prior, mixed by other
 * laws than the model's own; `other-studios.ts` has the studios. Predicted: 200 mixes of two or three
 * clays that were not baked.
 *
 * Truths: amounts count to a power (1, 1.15, 1.3); absorption crowds out scattering; another surface;
 * two tiles exchanged; shares of wrong rows, of all kinds; numbers without any sense.
 * Scores: share of true colours in the 90 % region, share far outside (past the 99.99 % region), stated
 * size over true size of the errors, mean CIEDE2000, mean log density.
 *
 * Run: npx tsx bench/other-truths.ts [--studios 8] [--only power] [--each]
 */
import { parseArgs } from 'node:util';
import { modelFromFit } from '../src/core/clay/clay-model.ts';
import { explainTiles } from '../src/core/clay/explain/explain.ts';
import { settle } from '../src/core/clay/explain/settle.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { leftOutTiles } from '../src/core/clay/left-out.ts';
import { openModel, predictMix } from '../src/core/clay/predict.ts';
import { deltaE2000 } from '../src/core/colour/difference.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { gauss } from './honest.ts';
import { anyMix, studioOf, type Truth, trueLab, weights } from './other-studios.ts';
import { mean } from './random.ts';

/** 90 % and 99.99 % of a chi-squared variable of three degrees. */
const NINETY = 6.2514;
const FAR = 21.11;

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
  { name: 'wrong rows 5 %', wrong: 0.05 },
  { name: 'wrong rows 10 %', wrong: 0.1 },
  { name: 'wrong rows 20 %', wrong: 0.2 },
  { name: 'wrong rows 20 %, 30 more', wrong: 0.2, more: true },
  { name: 'random numbers', random: true },
];

interface Row {
  readonly miss: readonly number[];
  readonly covariance: Float64Array;
  readonly dE00: number;
}

function studioRows(studio: number, truth: Truth): Row[] {
  const { prior, readings, random, clays } = studioOf(studio, truth);
  const fit = fitClays(readings, prior);
  const leftOut = leftOutTiles(fit);
  const run = explainTiles(readings, fit, leftOut);
  while (!run.step());
  const settled = settle(fit, leftOut, run.explanations());
  const predictor = openModel(modelFromFit(settled.fit, settled.leftOut, settled.alternatives));
  return Array.from({ length: 200 }, () => {
    const parts = anyMix(random, clays);
    const total = parts.reduce((sum, [, n]) => sum + n, 0);
    const { lab, covariance } = predictMix(
      predictor,
      parts.map(([p, n]) => ({ clay: settled.fit.set.clays.indexOf(p.name), share: n / total })),
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
