import { type Chance, seededChance } from '../numeric/seeded-chance.ts';
import type { RecipeTable } from './recipe-table.ts';

/** Grams more than there are that do not count. */
const A_HAIR_G = 1e-6;
/** How much worse a change may be, as shares of the grams of a usual colour: first, between, and at the end. */
const HEATS = [0.3, 0.01, 0.001] as const;
/** Changes for each colour: of one colour, then of two at once, which takes so many times as long. */
const ONES = 150_000;
const PAIRS = 750;
const PAIR_TIMES = 500;
/** A pair that is worse by more than so many times the heat is not weighed. */
const MOST_HEATS = 6;
/** A start that lacks less than this share of a usual colour is worth another start. */
const CLOSE = 0.1;
const MOST_STARTS = 6;
const SEED = 2;

export interface ChosenRun {
  /** Tries about so many more steps; true at the end. */
  step(budget: number): boolean;
  readonly settled: number;
  readonly total: number;
  /** The recipe of each colour, as a place in its own list. */
  chosen(): readonly (number | undefined)[];
}

export interface FitRun extends Omit<ChosenRun, 'chosen'> {
  /** Undefined where no recipes were found that fit. */
  chosen(): ReturnType<ChosenRun['chosen']> | undefined;
}

/**
 * Looks for one recipe of each colour, so that together they need no more of any block than there is. Recipes are
 * changed one at a time, then two at a time with every pair of recipes weighed; a change that needs more is taken
 * less and less often.
 * Shape:   grams there are of each block; a colour without recipes is passed over
 * Source:  simulated annealing [Kirkpatrick1983]
 * Returns: `chosen` undefined does not prove that nothing fits
 */
export function startFit(table: RecipeTable, there: readonly number[]): FitRun {
  const { starts, uses, blocks, grams } = table;
  const open = Array.from({ length: starts.length - 1 }, (_, colour) => openOf(colour));
  const colours = open.flatMap((_, at) => (starts[at] < starts[at + 1] ? [at] : []));
  const isHopeless = colours.some((colour) => open[colour].length === 0);
  const chosen = new Int32Array(open.length);
  const left = new Float64Array(there.length);
  const ones = ONES * colours.length;
  const pairs = colours.length > 1 ? PAIRS * colours.length : 0;
  const coolerOne = (HEATS[1] / HEATS[0]) ** (1 / ones);
  const coolerTwo = (HEATS[2] / HEATS[1]) ** (1 / pairs);
  const aStart = ones + PAIR_TIMES * pairs;
  let begun = 0;
  let taken = 0;
  let over = 0;
  let usual = 0;
  let heat = 0;
  let { uniform }: Chance = seededChance(SEED);
  const isFitting = () => isHopeless || (begun > 0 && over <= A_HAIR_G);
  return {
    step(budget) {
      for (const until = taken + budget; taken < until; ) {
        if (isFitting() || (begun > 0 && !goesOn())) return true;
        if (taken >= begun * aStart) start();
        if (taken - (begun - 1) * aStart < ones) changeOne();
        else changeTwo();
      }
      return isFitting();
    },
    get settled() {
      return Math.min(1, taken / (MOST_STARTS * aStart));
    },
    total: MOST_STARTS * aStart,
    chosen: () =>
      isHopeless || over > A_HAIR_G
        ? undefined
        : open.map((own, colour) =>
            own.length === 0 ? undefined : chosen[colour] - starts[colour],
          ),
  };

  function goesOn(): boolean {
    return taken < begun * aStart || (begun < MOST_STARTS && over < CLOSE * usual);
  }

  function start(): void {
    ({ uniform } = seededChance(SEED + begun));
    begun++;
    left.set(there);
    let sum = 0;
    for (const colour of colours) {
      chosen[colour] = anyOf(open[colour]);
      put(chosen[colour], -1);
      for (let at = uses[chosen[colour]]; at < uses[chosen[colour] + 1]; at++) sum += grams[at];
    }
    usual = sum / Math.max(1, colours.length);
    over = lacking();
    heat = HEATS[0] * usual;
  }

  function changeOne(): void {
    taken++;
    heat *= coolerOne;
    const colour = anyOf(colours);
    const before = chosen[colour];
    const next = anyOf(open[colour]);
    put(before, 1);
    const change = more(next) - more(before);
    if (change <= 0 || uniform() < Math.exp(-change / heat)) {
      chosen[colour] = next;
      over += change;
    }
    put(chosen[colour], -1);
  }

  /** Of all pairs of recipes of two colours one, the likelier the less is lacking. */
  function changeTwo(): void {
    taken += PAIR_TIMES;
    heat *= coolerTwo;
    const one = anyOf(colours);
    let other = one;
    while (other === one) other = anyOf(colours);
    put(chosen[one], 1);
    put(chosen[other], 1);
    const without = lacking();
    const room = over - without + MOST_HEATS * heat;
    const second = open[other].filter((recipe) => more(recipe) <= room);
    let all = 0;
    let [ofOne, ofOther, least] = [chosen[one], chosen[other], over];
    for (const first of open[one]) {
      const own = more(first);
      if (own > room) continue;
      put(first, -1);
      for (const next of second) {
        const both = own + more(next);
        if (both > room) continue;
        const weight = Math.exp((over - without - both) / heat);
        all += weight;
        if (uniform() * all < weight) [ofOne, ofOther, least] = [first, next, without + both];
      }
      put(first, 1);
    }
    [chosen[one], chosen[other], over] = [ofOne, ofOther, least];
    put(ofOne, -1);
    put(ofOther, -1);
  }

  /** Gives the clay of a recipe back, or takes it. */
  function put(recipe: number, times: 1 | -1): void {
    for (let at = uses[recipe]; at < uses[recipe + 1]; at++) left[blocks[at]] += times * grams[at];
  }

  /** Grams that a recipe would lack more. */
  function more(recipe: number): number {
    let lack = 0;
    for (let at = uses[recipe]; at < uses[recipe + 1]; at++) {
      lack += Math.max(0, grams[at] - Math.max(0, left[blocks[at]]));
    }
    return lack;
  }

  function lacking(): number {
    let lack = 0;
    for (const grams of left) lack += Math.max(0, -grams);
    return lack;
  }

  /** Recipes of a colour that alone need no more than there is. */
  function openOf(colour: number): Int32Array {
    const out: number[] = [];
    for (let recipe = starts[colour]; recipe < starts[colour + 1]; recipe++) {
      let fits = true;
      for (let at = uses[recipe]; at < uses[recipe + 1]; at++) {
        if (grams[at] > there[blocks[at]] + A_HAIR_G) fits = false;
      }
      if (fits) out.push(recipe);
    }
    return Int32Array.from(out);
  }

  function anyOf(list: ArrayLike<number>): number {
    return list[Math.floor(uniform() * list.length)];
  }
}
