/**
 * Do the tiles that next-tile names teach more than the usual ones? Studios of eight clays: white,
 * black and six paints of one collection; these six, and paints of the same name in the other
 * collection, are not in the prior. Every clay is baked alone; then 12 further tiles are baked by
 * several plans. Readings carry 0.5 units of noise an axis, the same for the same tile under every
 * plan. Prediction: 120 mixes of two and three clays, 1 to 6 parts each, drawn separately from
 * those that next-tile uses. Error: mean CIEDE2000 against the noiseless truth. The rivals: two
 * white tints (1:3, then 1:15), all clays in turn before the second tint, up to 12 tiles; the same
 * clay by clay, black last; one tint and one darkened tile for each colour, the choice of an
 * expert; and 12 candidates drawn at random.
 * Run:     npx tsx bench/next-tile.ts [--studios 24] [--seed 1]
 */
import { parseArgs } from 'node:util';
import { modelFromFit } from '../src/core/clay/clay-model.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { openModel, predictMix } from '../src/core/clay/predict.ts';
import { type Pigment, priorFromPigments } from '../src/core/clay/prior-from-pigments.ts';
import { deltaE2000 } from '../src/core/colour/difference.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { nextTiles } from '../src/core/trial/next-tile.ts';
import { candidateTiles, representativeMixes } from '../src/core/trial/tile-candidates.ts';
import { family, type Parts, trueLab, virtualTile } from './left-out-paints.ts';
import { paintCollection } from './paint-studio.ts';
import { bootstrap, mean, quantile, type Random, randomFrom } from './random.ts';

type Fit = ReturnType<typeof fitClays>;

const TILES = 12;
const ROUND = 4;
const MIXES = 300;
const weights = colourWeights('D50', 2);

interface Row {
  readonly errors: ReadonlyMap<string, number>;
  readonly nextMs: number;
  readonly fitMs: number;
  readonly predicted: number;
}

function studioRow(studio: number, seed: number): Row {
  const random = randomFrom(seed * 1000 + studio);
  const { all, white, black, pool } = paintCollection(studio);
  const take = () => pool.splice(random.whole(0, pool.length - 1), 1)[0];
  const colours = Array.from({ length: 6 }, take);
  const clays = [white, black, ...colours];
  const out = new Set(colours.map((p) => family(p.name)));
  const prior = priorFromPigments(all.filter((p) => !out.has(family(p.name))));
  const unseen = unseenMixes(clays, random);
  let fitMs = 0;
  let nextMs = 0;
  let predicted = 0;

  const learn = (tiles: readonly Parts[]): Fit => {
    const readings = [...clays.map((p): Parts => [[p, 1]]), ...tiles].map((tile) =>
      virtualTile(tile, randomFrom(seedOf(tile, seed * 1000 + studio))),
    );
    const started = performance.now();
    const fit = fitClays(readings, prior);
    fitMs = performance.now() - started;
    return fit;
  };
  const error = (fit: Fit): number => {
    const predictor = openModel(modelFromFit(fit));
    const options = { weights, geometry: 'included', partsSpread: 0 } as const;
    return mean(
      unseen.map((mix) => {
        const total = mix.reduce((sum, [, n]) => sum + n, 0);
        const parts = mix.map(([p, n]) => ({
          clay: fit.set.clays.indexOf(p.name),
          share: n / total,
        }));
        return deltaE2000(predictMix(predictor, parts, options).lab, trueLab(mix));
      }),
    );
  };
  // The clays come first among the readings, so an index into the model is one into the studio.
  const indices = clays.map((_, i) => i);
  const named = (fit: Fit, tiles: number): Parts[] => {
    const model = modelFromFit(fit);
    const started = performance.now();
    const answer = nextTiles(openModel(model), {
      weights,
      geometry: 'included',
      tiles,
      candidates: candidateTiles(model, indices, 16),
      targets: representativeMixes(indices, MIXES),
      spread: 0.5,
      partsSpread: 0,
    });
    nextMs = performance.now() - started;
    predicted = answer.tiles.at(-1)?.after ?? answer.expected;
    return answer.tiles.map(({ parts }) =>
      parts.map(({ clay, parts }) => [clays[clay], parts] as const),
    );
  };

  const start = learn([]);
  const errors = new Map([['each alone', error(start)]]);
  const rounds: Parts[] = [];
  let fit = start;
  while (rounds.length < TILES) {
    rounds.push(...named(fit, Math.min(ROUND, TILES - rounds.length)));
    fit = learn(rounds);
  }
  errors.set('next-tile, 3 x 4', error(fit));
  errors.set('next-tile, 12 at once', error(learn(named(start, TILES))));
  const tints = [...colours, black].map((p) =>
    [3, 15].map(
      (whites): Parts => [
        [p, 1],
        [white, whites],
      ],
    ),
  );
  const inTurn = [0, 1].flatMap((step) => tints.map((both) => both[step])).slice(0, TILES);
  errors.set('two tints, in turn', error(learn(inTurn)));
  errors.set('two tints, clay by clay', error(learn(tints.flat().slice(0, TILES))));
  const darkened = colours.flatMap((p): Parts[] => [
    [
      [p, 1],
      [white, 7],
    ],
    [
      [p, 15],
      [black, 1],
    ],
  ]);
  errors.set('a tint and a dark one', error(learn(darkened)));
  const candidates = candidateTiles(modelFromFit(start), indices, 16);
  const drawn = Array.from(
    { length: TILES },
    () => candidates[random.whole(0, candidates.length - 1)],
  );
  const chance = drawn.map((tile): Parts => tile.map(({ clay, parts }) => [clays[clay], parts]));
  errors.set('at random', error(learn(chance)));
  return { errors, nextMs, fitMs, predicted };
}

function unseenMixes(clays: readonly Pigment[], random: Random): Parts[] {
  return Array.from({ length: 120 }, (_, i): Parts => {
    const left = [...clays];
    return Array.from({ length: 2 + (i % 2) }, () => [
      left.splice(random.whole(0, left.length - 1), 1)[0],
      random.whole(1, 6),
    ]);
  });
}

/** One tile reads the same whatever plan it is baked for. */
function seedOf(tile: Parts, seed: number): number {
  let hash = seed;
  for (const [{ name }, parts] of tile) {
    for (const letter of `${parts} ${name}`) {
      hash = (Math.imul(hash, 31) + letter.charCodeAt(0)) >>> 0;
    }
  }
  return hash;
}

function main(): void {
  const { values } = parseArgs({
    options: { studios: { type: 'string', default: '24' }, seed: { type: 'string', default: '1' } },
  });
  const rows = Array.from({ length: Number(values.studios) }, (_, studio) =>
    studioRow(studio, Number(values.seed)),
  );
  const of = (row: Row, plan: string) => row.errors.get(plan)!;
  const ours = 'next-tile, 3 x 4';
  const range = ([low, high]: [number, number]) => `${low.toFixed(2)} to ${high.toFixed(2)}`;
  console.log(
    `${rows.length} studios of 8 clays; each alone, then 12 tiles; unseen mixes, mean dE00; brackets hold 90 % of bootstrap draws\n`,
  );
  console.log(
    'plan                      error                 worst studio  three rounds of four as a share of it',
  );
  for (const plan of rows[0].errors.keys()) {
    const errors = rows.map((row) => of(row, plan));
    const ratio = (sample: readonly Row[]) =>
      mean(sample.map((row) => of(row, ours))) / mean(sample.map((row) => of(row, plan)));
    const spread = range(bootstrap(errors, mean, randomFrom(1)));
    const ratios = range(bootstrap(rows, ratio, randomFrom(2)));
    console.log(
      `${plan.padEnd(24)} ${mean(errors).toFixed(2).padStart(6)}  (${spread})  ${Math.max(...errors)
        .toFixed(2)
        .padStart(11)}  ${ratio(rows).toFixed(2).padStart(6)}  (${ratios})`,
    );
  }
  const fastest = (pick: (row: Row) => number) => quantile(rows.map(pick), 0.5).toFixed(0);
  console.log(
    `\nmean ± that it predicted after 12 at once: ${mean(rows.map((row) => row.predicted)).toFixed(2)} (it assumes mixes that depart from simple addition; these do not)`,
  );
  console.log(
    `median time: naming 12 of ${28 * 13} candidates ${fastest((row) => row.nextMs)} ms, a fit of 20 tiles ${fastest((row) => row.fitMs)} ms`,
  );
}

if (process.argv[1]?.endsWith('next-tile.ts')) main();
