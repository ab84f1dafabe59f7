/**
 * How much longer do learning and searching take than in another version of this program?
 *
 * Both versions learn the same readings and search for the same colours in one process, in turn, so that
 * the machine is the same to both. Readings: studios of other-truths (white, black, eight paints, 28 tiles).
 * Searches: 4 clays and 12 parts, 20 colours drawn among mixes of the studio.
 *
 * Run: npx tsx bench/before-and-now.ts --before FOLDER [--studios 4]
 *      FOLDER is a checkout of the other version with its packages, as "git worktree add" makes one
 */
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import type { TileReading } from '../src/core/clay/tile-reading.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { studioOf } from './other-studios.ts';
import { quantile, randomFrom } from './random.ts';

type Core = Awaited<ReturnType<typeof coreOf>>;

async function coreOf(folder: string) {
  const from = (path: string) => import(pathToFileURL(resolve(folder, 'src/core', path)).href);
  const [fit, model, predict, search] = await Promise.all(
    ['clay/fit.ts', 'clay/clay-model.ts', 'clay/predict.ts', 'search/search.ts'].map(from),
  );
  return {
    fitClays: fit.fitClays as typeof import('../src/core/clay/fit.ts').fitClays,
    modelFromFit:
      model.modelFromFit as typeof import('../src/core/clay/clay-model.ts').modelFromFit,
    openModel: predict.openModel as typeof import('../src/core/clay/predict.ts').openModel,
    startSearch: search.startSearch as typeof import('../src/core/search/search.ts').startSearch,
  };
}

/** Milliseconds to learn some readings, and to find recipes for some colours. */
function timesOf(core: Core, readings: readonly TileReading[], prior: never, aims: readonly Lab[]) {
  const from = performance.now();
  const fit = core.fitClays(readings, prior);
  const model = core.modelFromFit(fit);
  const learnMs = performance.now() - from;
  const predictor = core.openModel(model);
  const clays = fit.set.clays.map((_, i) => i);
  const weights = colourWeights('D50', 2);
  const searchMs = aims.map((aim) => {
    const begin = performance.now();
    const options = { aim, weights, clays, mostClays: 4, parts: 12, top: 10 };
    const run = core.startSearch(predictor, options);
    while (!run.step(20_000));
    return performance.now() - begin;
  });
  return { learnMs, searchMs };
}

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: { before: { type: 'string' }, studios: { type: 'string', default: '4' } },
  });
  if (values.before === undefined) throw new Error('Name the other version with --before FOLDER.');
  const [before, now] = [await coreOf(values.before), await coreOf('.')];
  const learn: { before: number; now: number }[] = [];
  const search: { before: number; now: number }[] = [];
  for (let s = 0; s < Number(values.studios); s++) {
    const { readings, prior } = studioOf(s, { name: 'theory right' });
    const random = randomFrom(s + 1);
    const mixed = readings.filter(({ parts }) => parts.length > 1);
    const aims = Array.from({ length: 20 }, (): Lab => {
      const [a, b] = [0, 1].map(() => mixed[random.whole(0, mixed.length - 1)].colour);
      if (a.kind !== 'lab' || b.kind !== 'lab') throw new Error('a Lab reading is expected');
      return [0, 1, 2].map((k) => (a.lab[k] + b.lab[k]) / 2) as unknown as Lab;
    });
    // Once to warm up, then three times each in turn.
    for (let turn = 0; turn < 4; turn++) {
      const one = timesOf(before, readings, prior as never, aims);
      const other = timesOf(now, readings, prior as never, aims);
      if (turn === 0) continue;
      learn.push({ before: one.learnMs, now: other.learnMs });
      for (const [i, ms] of one.searchMs.entries()) {
        search.push({ before: ms, now: other.searchMs[i] });
      }
    }
  }
  const line = (name: string, rows: typeof learn) => {
    const middle = (side: 'before' | 'now') =>
      quantile(
        rows.map((row) => row[side]),
        0.5,
      );
    const ratio = quantile(
      rows.map((row) => row.now / row.before),
      0.5,
    );
    console.log(
      `${name.padEnd(10)} before ${middle('before').toFixed(0).padStart(6)} ms   now ${middle('now').toFixed(0).padStart(6)} ms   median ratio ${ratio.toFixed(2)}`,
    );
  };
  line('learning', learn);
  line('searching', search);
}

await main();
