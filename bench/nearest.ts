/**
 * The closest ten of a book of 100,000 mixes, against comparing all of them.
 *
 * The book: recipes drawn from 46 measured paints (1 to 4 clays, to 12 parts). The rival computes
 * CIEDE2000 for every colour and sorts out the ten smallest. Ratios are of medians by aim.
 *
 * Run:     npx tsx bench/nearest.ts [--mixes 100000] [--aims 90]
 */
import { parseArgs } from 'node:util';
import { deltaE2000At } from '../src/core/colour/difference.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { nearestBook } from '../src/core/nearest/nearest.ts';
import { plainMix } from './plain-search.ts';
import { quantile, randomFrom } from './random.ts';
import { seededAims, stockPlain, stockPredictor } from './stock.ts';

const TOP = 10;
const RUNS = 5;

const { values } = parseArgs({
  options: {
    mixes: { type: 'string', default: '100000' },
    aims: { type: 'string', default: '90' },
  },
});
const count = Number(values.mixes);
const predictor = stockPredictor(46);
const labs = drawnBook(count);
const building = timed(() => nearestBook(labs));
const book = nearestBook(labs);
const rows = seededAims(predictor, Number(values.aims), 3).map(({ kind, lab }) => {
  const times = Array.from({ length: RUNS }, () => ({
    ours: timed(() => book.nearest(lab, { top: TOP })),
    all: timed(() => compareAll(lab)),
  }));
  const found = book.nearest(lab, { top: TOP });
  const plain = compareAll(lab);
  if (found.some(({ index }, i) => index !== plain[i].index)) {
    throw new Error(`a different answer from comparing all at ${lab.join(' ')}`);
  }
  const ours = quantile(
    times.map((t) => t.ours),
    0.5,
  );
  const all = quantile(
    times.map((t) => t.all),
    0.5,
  );
  return { kind, ours, all, ratio: all / ours };
});
console.log(`${count} mixes indexed in ${building.toFixed(0)} ms`);
for (const kind of ['inside', 'edge', 'outside'] as const) {
  const own = rows.filter((row) => row.kind === kind);
  const of = (pick: (row: (typeof rows)[number]) => number, share: number) =>
    quantile(own.map(pick), share);
  console.log(
    `${kind.padEnd(7)} ${own.length} aims: median ${of((r) => r.ours, 0.5).toFixed(3)} ms, slowest ${of((r) => r.ours, 1).toFixed(3)} ms; all compared ${of((r) => r.all, 0.5).toFixed(1)} ms; ratio ${of((r) => r.ratio, 0.5).toFixed(0)}, least ${of((r) => r.ratio, 0).toFixed(0)}`,
  );
}
const random = randomFrom(9);
for (const [what, options] of [
  ['nearest 100', { top: 100 }],
  ['one mix in 1000 allowed', { top: TOP, allowed: flags(1000) }],
  ['one mix in 20 allowed', { top: TOP, allowed: flags(20) }],
  ['only the greens allowed', { top: TOP, allowed: greens() }],
  ['no mix allowed', { top: TOP, allowed: new Uint8Array(count) }],
] as const) {
  const times = seededAims(predictor, 30, 4).map(({ lab }) =>
    quantile(
      Array.from({ length: RUNS }, () => timed(() => book.nearest(lab, options))),
      0.5,
    ),
  );
  console.log(
    `${what}: median ${quantile(times, 0.5).toFixed(3)} ms, slowest ${Math.max(...times).toFixed(3)} ms${'allowed' in options ? `; ${options.allowed.reduce((n, v) => n + v, 0)} of ${count} allowed` : ''}`,
  );
}
const changes = 20_000;
const changing = timed(() => {
  for (let i = 0; i < changes; i++) {
    const from = 3 * random.whole(0, count - 1);
    book.set(random.whole(0, count - 1), [labs[from], labs[from + 1], labs[from + 2]]);
  }
});
console.log(`one change: ${((changing / changes) * 1000).toFixed(2)} us`);

function drawnBook(mixes: number): Float64Array {
  const stock = stockPlain(predictor);
  const draw = randomFrom(7);
  const out = new Float64Array(3 * mixes);
  for (let i = 0; i < mixes; i++) {
    const clays = new Set<number>();
    const wanted = draw.whole(1, 4);
    while (clays.size < wanted) clays.add(draw.whole(0, stock.clays.length - 1));
    const recipe = [...clays].map((clay) => ({ clay, parts: draw.whole(1, 3) }));
    out.set(plainMix(stock, recipe), 3 * i);
  }
  return out;
}

function flags(oneIn: number): Uint8Array {
  return Uint8Array.from({ length: count }, () => (random.whole(1, oneIn) === 1 ? 1 : 0));
}

/** Flags that leave whole regions empty, so that the closest may be far off. */
function greens(): Uint8Array {
  return Uint8Array.from({ length: count }, (_, i) => (labs[3 * i + 1] < -12 ? 1 : 0));
}

function compareAll([l, a, b]: Lab): { index: number; dE00: number }[] {
  const kept: { index: number; dE00: number }[] = [];
  for (let index = 0; index < count; index++) {
    const dE00 = deltaE2000At(l, a, b, labs[3 * index], labs[3 * index + 1], labs[3 * index + 2]);
    if (kept.length === TOP && dE00 >= kept[TOP - 1].dE00) continue;
    let at = kept.length;
    while (at > 0 && dE00 < kept[at - 1].dE00) at--;
    kept.splice(at, 0, { index, dE00 });
    if (kept.length > TOP) kept.pop();
  }
  return kept;
}

function timed(work: () => unknown): number {
  const start = performance.now();
  work();
  return performance.now() - start;
}
