/**
 * Does a thickness that was written beside opaque tiles change what is learned?
 *
 * Studios of other-truths: white, black and eight paints left out of the prior, each alone and at 1:3 and
 * 1:9 with white, 0.5 units of noise an axis. The same readings are learned without a thickness, and with
 * one beside every tile, over white card as a file takes it that says nothing of the backing. Predicted: 100
 * mixes that were not baked.
 *
 * Scores: how far the predictions move, CIEDE2000, and how much larger the ± becomes.
 *
 * Run: npx tsx bench/thickness.ts [--studios 6]
 */
import { parseArgs } from 'node:util';
import { modelFromFit } from '../src/core/clay/clay-model.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { openModel, predictMix } from '../src/core/clay/predict.ts';
import type { TileReading } from '../src/core/clay/tile-reading.ts';
import { deltaE2000 } from '../src/core/colour/difference.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { READING_DEFAULTS } from '../src/domain/records/reading.ts';
import { anyMix, studioOf } from './other-studios.ts';
import { mean, randomFrom } from './random.ts';

const weights = colourWeights('D50', 2);

function main(): void {
  const { values } = parseArgs({ options: { studios: { type: 'string', default: '6' } } });
  const studios = Array.from({ length: Number(values.studios) }, (_, s) =>
    studioOf(s, { name: 'theory right' }),
  );
  console.log('thickness    moved: mean   most    ± grows: mean   most');
  for (const thicknessMm of [1.5, 3, 6]) {
    const moves: number[] = [];
    const grows: number[] = [];
    for (const [s, { readings, prior, clays }] of studios.entries()) {
      const random = randomFrom(100 + s);
      const mixes = Array.from({ length: 100 }, () => anyMix(random, clays));
      const written = readings.map(
        (reading): TileReading => ({
          ...reading,
          film: { thicknessMm, backing: READING_DEFAULTS.backing },
        }),
      );
      const [without, withIt] = [readings, written].map((tiles) => {
        const fit = fitClays(tiles, prior);
        const predictor = openModel(modelFromFit(fit));
        return mixes.map((mix) => {
          const total = mix.reduce((sum, [, n]) => sum + n, 0);
          const parts = mix.map(([p, n]) => ({
            clay: fit.set.clays.indexOf(p.name),
            share: n / total,
          }));
          const { lab, covariance: c } = predictMix(predictor, parts, { weights, partsSpread: 0 });
          return { lab, size: Math.sqrt(c[0] + c[4] + c[8]) };
        });
      });
      withIt.forEach(({ lab, size }, i) => {
        moves.push(deltaE2000(lab, without[i].lab));
        grows.push(size / without[i].size);
      });
    }
    const cells = [mean(moves), Math.max(...moves), mean(grows), Math.max(...grows)];
    const [a, b, c, d] = cells.map((v) => v.toFixed(2).padStart(6));
    console.log(`${`${thicknessMm} mm`.padEnd(12)}       ${a} ${b}           ${c} ${d}`);
  }
}

main();
