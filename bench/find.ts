/**
 * The bounded search against the frozen plain one, on the same stock and aims, in one process.
 *
 *  sizes    for each size clays/in one recipe/parts: time ratio by kind of aim, median and worst,
 *           recipes worked out, and the largest difference of the ten best errors
 *  growth   fast search alone at 100/4/16 and 200/4/16: time to the first good recipe (within 1.8 of
 *           the aim, or of the best found where none is), time to the proof, with a cap
 *  ideas    the search with one idea left out at a time, at 46/4/12: time as a ratio to all of them
 *
 * Run: npx tsx bench/find.ts [--sizes 12/3/8,24/4/12] [--aims 6] [--growth] [--cap 120] [--ideas]
 */
import { parseArgs } from 'node:util';
import type { Predictor } from '../src/core/clay/predict.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { startSearch } from '../src/core/search/search.ts';
import { ALL_IDEAS, type SearchIdeas } from '../src/core/search/search-ideas.ts';
import type { SearchHit, SearchOptions } from '../src/core/search/search-options.ts';
import { plainSearch } from './plain-search.ts';
import { quantile } from './random.ts';
import { type SeededAim, seededAims, stockPlain, stockPredictor } from './stock.ts';

const { values } = parseArgs({
  options: {
    sizes: { type: 'string', default: '12/3/8,24/4/12' },
    aims: { type: 'string', default: '6' },
    seed: { type: 'string', default: '1' },
    growth: { type: 'boolean', default: false },
    ideas: { type: 'boolean', default: false },
    cap: { type: 'string', default: '120' },
  },
});
const AIMS = Number(values.aims);
const SEED = Number(values.seed);
const CAP_MS = 1000 * Number(values.cap);
const STEP = 500;

interface Size {
  readonly clays: number;
  readonly mostClays: number;
  readonly parts: number;
}

interface Run {
  readonly best: readonly SearchHit[];
  readonly ms: number;
  readonly firstMs: number;
  readonly tried: number;
  readonly settled: number;
  readonly proven: boolean;
  readonly worstStepMs: number;
}

function fast(
  predictor: Predictor,
  { lab }: SeededAim,
  { mostClays, parts }: Size,
  capMs = Number.POSITIVE_INFINITY,
  ideas: SearchIdeas = ALL_IDEAS,
): Run {
  const options: SearchOptions = {
    aim: lab,
    weights: colourWeights('D50', 2),
    geometry: predictor.model.geometry,
    clays: predictor.coefficients.map((_, i) => i),
    mostClays,
    parts,
    top: 10,
  };
  const start = performance.now();
  const find = startSearch(predictor, options, ideas);
  const nearest: { ms: number; dE00: number }[] = [];
  let last = start;
  let worstStepMs = 0;
  let proven = false;
  while (!proven && last - start < capMs) {
    proven = find.step(STEP);
    const now = performance.now();
    worstStepMs = Math.max(worstStepMs, now - last);
    last = now;
    const [best] = find.best();
    if (best !== undefined) nearest.push({ ms: now - start, dE00: best.dE00 });
  }
  const best = find.best();
  const enough = Math.max(1.8, best[0].dE00 + 0.5);
  return {
    best,
    ms: last - start,
    firstMs: nearest.find(({ dE00 }) => dE00 <= enough)!.ms,
    tried: find.tried,
    settled: find.settled,
    proven,
    worstStepMs,
  };
}

function sizes(): void {
  for (const text of values.sizes.split(',')) {
    const [clays, mostClays, parts] = text.split('/').map(Number);
    const size = { clays, mostClays, parts };
    const predictor = stockPredictor(clays);
    const plain = stockPlain(predictor);
    const aims = seededAims(predictor, AIMS, SEED);
    fast(predictor, aims[0], size);
    const rows = aims.map((aim) => {
      const run = fast(predictor, aim, size);
      const start = performance.now();
      const { best, tried } = plainSearch({ ...plain, aim: aim.lab, mostClays, parts });
      const plainMs = performance.now() - start;
      const apart = Math.max(...best.map(({ dE00 }, i) => Math.abs(dE00 - run.best[i].dE00)));
      const row = { kind: aim.kind, ratio: plainMs / run.ms, plainMs, tried, apart, run };
      console.log(
        `  ${text} ${aim.kind.padEnd(7)} plain ${plainMs.toFixed(0)} ms, ours ${run.ms.toFixed(0)} ms, ratio ${row.ratio.toFixed(0)}, ${run.tried} of ${tried} worked out, ten best differ by ${apart.toExponential(0)}`,
      );
      return row;
    });
    const ratios = rows.map(({ ratio }) => ratio);
    const kinds = [...new Set(rows.map(({ kind }) => kind))].map((kind) => {
      const own = rows.filter((row) => row.kind === kind).map(({ ratio }) => ratio);
      return `${kind} ${quantile(own, 0.5).toFixed(0)}`;
    });
    console.log(
      `${text}: ratio median ${quantile(ratios, 0.5).toFixed(0)}, worst ${Math.min(...ratios).toFixed(0)} (${kinds.join(', ')}); ours median ${quantile(
        rows.map(({ run }) => run.ms),
        0.5,
      ).toFixed(
        0,
      )} ms; largest difference ${Math.max(...rows.map(({ apart }) => apart)).toExponential(0)}`,
    );
  }
}

function growth(): void {
  for (const size of [
    { clays: 46, mostClays: 4, parts: 12 },
    { clays: 100, mostClays: 4, parts: 16 },
    { clays: 200, mostClays: 4, parts: 16 },
  ]) {
    const predictor = stockPredictor(size.clays);
    for (const aim of seededAims(predictor, 3, SEED)) {
      const run = fast(predictor, aim, size, CAP_MS);
      const proof = run.proven
        ? `proven after ${(run.ms / 1000).toFixed(1)} s`
        : `${(100 * run.settled).toFixed(0)} % settled at the cap`;
      console.log(
        `${size.clays}/${size.mostClays}/${size.parts} ${aim.kind.padEnd(7)} first good ${run.firstMs.toFixed(0)} ms, ${proof}, longest step ${run.worstStepMs.toFixed(0)} ms`,
      );
    }
  }
}

function ideas(): void {
  const size = { clays: 46, mostClays: 4, parts: 12 };
  const predictor = stockPredictor(size.clays);
  const aims = seededAims(predictor, AIMS, SEED);
  fast(predictor, aims[0], size);
  const all = aims.map((aim) => fast(predictor, aim, size).ms);
  for (const left of Object.keys(ALL_IDEAS) as (keyof SearchIdeas)[]) {
    const times = aims.map(
      (aim, i) => fast(predictor, aim, size, CAP_MS, { ...ALL_IDEAS, [left]: false }).ms / all[i],
    );
    console.log(
      `without ${left}: ${quantile(times, 0.5).toFixed(1)} times as long in the middle, ${Math.min(...times).toFixed(1)} to ${Math.max(...times).toFixed(1)}`,
    );
  }
}

if (values.growth) growth();
else if (values.ideas) ideas();
else sizes();
