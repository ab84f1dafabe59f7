/**
 * How often does a general-purpose optimiser find the best recipe?
 *
 * The rival is the evolutionary search of the package genetic-search, with the steps of
 * differential evolution [StornPrice1997]: a child is one member plus the scaled difference of two
 * others, mixed with a fourth by coordinate; the better part of the population lives on. It moves
 * continuous amounts of every clay, of which the largest few are mixed. Then the amounts of every
 * member of the last population are rounded to each total of whole parts, by largest remainder, and
 * the best of all those recipes is its answer. Its colours come from the product's own fast
 * evaluator.
 *
 * In a second form every member is judged by its best rounding in every generation, which takes
 * more colours.
 *
 * The best of all recipes comes from the plain exhaustive search, timed beside it.
 *
 * Run:     npx tsx bench/optimiser.ts [--aims 24]
 */
import { parseArgs } from 'node:util';
import {
  type BaseGenome,
  BasePhenomeStrategy,
  type EvaluatedGenome,
  GeneticSearch,
  SimplePhenomeCache,
} from 'genetic-search';
import { deltaE2000At } from '../src/core/colour/difference.ts';
import { BANDS } from '../src/core/colour/grid.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { mixEvaluator } from '../src/core/search/mix-evaluator.ts';
import { type PlainStock, plainSearch } from './plain-search.ts';
import { quantile, type Random, randomFrom } from './random.ts';
import { seededAims, stockPlain, stockPredictor } from './stock.ts';

/** Two ways of summing 36 bands. */
const SAME_DE00 = 1e-9;
const SETTINGS = {
  membersPerClay: 10,
  survivalRate: 0.3,
  crossoverRate: 0.85,
  /** Scale of the difference, and the chance that a coordinate comes from it. */
  scale: 0.6,
  take: 0.7,
  /** Size of a mutation, and the chance that a coordinate has one. */
  step: 0.15,
  mutate: 0.25,
};

interface Genome extends BaseGenome {
  readonly amounts: Float64Array;
}

class Colours extends BasePhenomeStrategy<
  Genome,
  { task: (amounts: Float64Array) => Promise<number[]> },
  Float64Array
> {
  protected createTaskInput({ amounts }: Genome): Float64Array {
    return amounts;
  }
}

interface Question {
  readonly stock: PlainStock;
  readonly aim: Lab;
  readonly mostClays: number;
  readonly parts: number;
}

async function evolved(
  question: Question,
  generations: number,
  seed: number,
  whole: boolean,
): Promise<number> {
  const { stock, parts } = question;
  const n = stock.clays.length;
  const random = randomFrom(seed);
  const distance = distanceOf(question);
  const bestWhole = (shares: Shares) => {
    let best = Number.POSITIVE_INFINITY;
    for (let total = 1; total <= parts; total++) {
      best = Math.min(best, distance(rounded(shares, total)));
    }
    return best;
  };
  const judged = whole ? bestWhole : distance;
  const any = <T>(items: readonly T[]): T => items[random.whole(0, items.length - 1)];
  const within = (v: number) => Math.min(1, Math.max(0, v));
  const populationSize = SETTINGS.membersPerClay * n;
  const search = new GeneticSearch<Genome>(
    { populationSize, survivalRate: SETTINGS.survivalRate, crossoverRate: SETTINGS.crossoverRate },
    {
      populate: {
        populate: (size, ids) =>
          Array.from({ length: size }, () => ({ id: ids.nextId(), amounts: drawn(n, random) })),
      },
      phenome: new Colours({ task: async (amounts) => [judged(largest(amounts, question))] }),
      fitness: { score: (rows) => rows.map(([dE00]) => dE00) },
      sorting: { sort: (all) => [...all].sort((one, other) => one.fitness - other.fitness) },
      selection: {
        selectForCrossover: (all, count) => {
          const living = survivors(all);
          return Array.from({ length: count }, () => [
            any(living),
            any(living),
            any(living),
            any(living),
          ]);
        },
        selectForMutation: (all, count) => {
          const living = survivors(all);
          return Array.from({ length: count }, () => any(living));
        },
      },
      crossover: {
        cross: ([target, base, plus, minus], id) => ({
          id,
          amounts: target.amounts.map((own, i) =>
            random.uniform() < SETTINGS.take
              ? within(base.amounts[i] + SETTINGS.scale * (plus.amounts[i] - minus.amounts[i]))
              : own,
          ),
        }),
      },
      mutation: {
        mutate: ({ amounts }, id) => ({
          id,
          amounts: amounts.map((own) =>
            random.uniform() < SETTINGS.mutate
              ? within(own + SETTINGS.step * random.normal())
              : own,
          ),
        }),
      },
      cache: new SimplePhenomeCache(),
    },
  );
  await search.fit({ generationsCount: generations });
  return Math.min(...search.population.map(({ amounts }) => bestWhole(largest(amounts, question))));
}

function survivors(all: readonly EvaluatedGenome<Genome>[]): Genome[] {
  return all.slice(0, Math.ceil(all.length * SETTINGS.survivalRate)).map(({ genome }) => genome);
}

/** Some of a few clays and none of the rest, as in recipes. */
function drawn(n: number, random: Random): Float64Array {
  const amounts = new Float64Array(n);
  for (let k = random.whole(1, 4); k > 0; k--) amounts[random.whole(0, n - 1)] = random.uniform();
  return amounts;
}

type Shares = readonly { readonly clay: number; readonly parts: number }[];

/**
 * The largest amounts, as many as a recipe may have clays; one part of the first where all are 0.
 */
function largest(amounts: Float64Array, { mostClays }: Question): Shares {
  const some: { clay: number; parts: number }[] = [];
  amounts.forEach((parts, clay) => {
    if (parts > 0) some.push({ clay, parts });
  });
  if (some.length === 0) return [{ clay: 0, parts: 1 }];
  return some.sort((one, other) => other.parts - one.parts).slice(0, mostClays);
}

function rounded(shares: Shares, total: number): Shares {
  const sum = shares.reduce((all, { parts }) => all + parts, 0);
  const exact = shares.map(({ clay, parts }) => ({ clay, parts: (parts / sum) * total }));
  const whole = exact.map(({ clay, parts }) => ({ clay, parts: Math.floor(parts) }));
  const order = exact.map((_, i) => i).sort((i, j) => (exact[j].parts % 1) - (exact[i].parts % 1));
  let left = total - whole.reduce((all, { parts }) => all + parts, 0);
  for (const i of order) if (left-- > 0) whole[i].parts++;
  return whole.filter(({ parts }) => parts > 0);
}

/** CIEDE2000 of a mix from the aim. */
function distanceOf({ stock, aim }: Question): (mix: Shares) => number {
  const evaluator = mixEvaluator(colourWeights('D50', 2), 'included');
  const white = new Float64Array(BANDS);
  const colour = new Float64Array(BANDS);
  const scattering = new Float64Array(BANDS);
  const lab = new Float64Array(3);
  return (mix) => {
    white.fill(0);
    colour.fill(0);
    scattering.fill(0);
    let all = 0;
    let coloured = 0;
    for (const { clay, parts } of mix) {
      const own = stock.clays[clay];
      const target = own.white ? white : colour;
      all += parts;
      if (!own.white) coloured += parts;
      for (let band = 0; band < BANDS; band++) {
        target[band] += parts * own.absorption[band];
        scattering[band] += parts * own.scattering[band];
      }
    }
    const factor = coloured === 0 ? 1 : (coloured / all) ** stock.dilution;
    evaluator.labInto(lab, white, colour, scattering, factor);
    return deltaE2000At(aim[0], aim[1], aim[2], lab[0], lab[1], lab[2]);
  };
}

interface Row {
  readonly kind: string;
  readonly off: number;
  readonly ms: number;
  readonly plainMs: number;
}

const { values } = parseArgs({ options: { aims: { type: 'string', default: '24' } } });
for (const [clays, mostClays, parts] of [
  [12, 3, 8],
  [24, 4, 12],
]) {
  const predictor = stockPredictor(clays);
  const stock = stockPlain(predictor);
  const truths = seededAims(predictor, Number(values.aims), 11).map(({ kind, lab: aim }) => {
    const question = { stock, aim, mostClays, parts };
    const start = performance.now();
    const [best] = plainSearch({ ...stock, aim, mostClays, parts, top: 1 }).best;
    return { kind, question, best: best.dE00, ms: performance.now() - start };
  });
  for (const [generations, whole] of [
    [50, false],
    [200, false],
    [800, false],
    [200, true],
  ] as const) {
    const rows: Row[] = [];
    for (const [i, { kind, question, best, ms }] of truths.entries()) {
      const start = performance.now();
      const found = await evolved(question, generations, i + 1, whole);
      rows.push({ kind, off: found - best, ms: performance.now() - start, plainMs: ms });
    }
    const missed = rows.map(({ off }) => off).filter((off) => off > SAME_DE00);
    const ms = quantile(
      rows.map((row) => row.ms),
      0.5,
    );
    const plainMs = quantile(
      rows.map((row) => row.plainMs),
      0.5,
    );
    const kinds = ['inside', 'edge', 'outside'].map((kind) => {
      const own = rows.filter((row) => row.kind === kind);
      return `${kind} ${own.filter(({ off }) => off <= SAME_DE00).length}/${own.length}`;
    });
    const off =
      missed.length === 0
        ? 'never off'
        : `when not, off by ${quantile(missed, 0.5).toFixed(3)} dE00 (median), ${Math.max(...missed).toFixed(3)} at most`;
    console.log(
      `${clays}/${mostClays}/${parts}, ${generations} generations of ${SETTINGS.membersPerClay * clays}, rounded ${whole ? 'all along' : 'at the end'}: best found ${rows.length - missed.length} of ${rows.length} (${kinds.join(', ')}); ${off}; ${ms.toFixed(0)} ms, plain exhaustive ${plainMs.toFixed(0)} ms`,
    );
  }
}
