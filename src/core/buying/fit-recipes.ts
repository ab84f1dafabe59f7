import { seededChance } from '../numeric/seeded-chance.ts';
import { A_HAIR_G, type RecipeTable, worthLeast } from './recipe-table.ts';

/** Recipes that each colour chooses from: those whose grams are worth least, and the least of other sets of blocks. */
const CHOICES = { least: 40, all: 60, of: 400 } as const;
/** How much worse a change may be, one copy for each. At 1 as many grams are used as there are. */
const HEATS = [0.2, 0.27, 0.36, 0.48, 0.64, 0.85] as const;
/** Changes of a copy before neighbours may change places, and changes of all copies for each pair of colours. */
const TURN = 50;
const CHANGES = 4000;
/** What is stuck begins again from elsewhere, so many times at most: a lucky start is quick. */
const STARTS = 4;
/** A gram counts so many times more after a round in which it was lacking in the coldest copy, up to so often. */
const DEARER = 1.03;
const MOST_DEAR = 30;
/** The share of what it counts more that is left after a round in which it was not. */
const CHEAPER = 0.99;
/** A pair that is worse than the best so far by more than so many times the heat is not weighed. */
const MOST_HEATS = 5;
/** A gram that is worth less counts as much as this, so that none is free. */
const LEAST_WORTH = 0.3;
const SEED = 3;

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

interface Copy {
  readonly heat: number;
  readonly chosen: Int32Array;
  /** Grams of each block that the recipes chosen leave. */
  readonly left: Float64Array;
  /** What is lacking, by what each gram is worth. */
  over: number;
}

/**
 * Looks for one recipe of each colour, so that together they need no more of any block than there is. Two colours
 * at a time get the pair of recipes with which least is lacking, by what each gram is worth, or by chance one that
 * is worse. Copies are changed side by side, from cold, where worse pairs are rare, to hot; neighbours change places,
 * so that what is stuck in the cold is stirred again. What keeps lacking there counts more and more.
 * Shape:   grams there are of each block, and what a gram of each is worth, as `countOfFits` has both; a colour
 *          without recipes is passed over
 * Source:  exchange of copies at several temperatures [HukushimaNemoto1996]; weights that grow where
 *          a search is stuck [Morris1993]
 * Returns: `chosen` undefined does not prove that nothing fits
 */
export function startFit(
  table: RecipeTable,
  there: readonly number[],
  prices: ArrayLike<number>,
): FitRun {
  const { starts } = table;
  const places = Array.from({ length: starts.length - 1 }, (_, colour) => colour);
  const colours = places.filter((colour) => starts[colour] < starts[colour + 1]);
  const open = colours.map((colour) =>
    varied(table, worthLeast(table, colour, { most: CHOICES.of, prices, there })),
  );
  const isHopeless = open.some((own) => own.length === 0);
  const { firsts, wide, blocks, grams } = padded(table, open);
  const usual = Float64Array.from(prices, (price) => Math.max(LEAST_WORTH, price));
  const worth = Float64Array.from(usual);
  const { uniform } = seededChance(SEED);
  const most = (CHANGES * colours.length * (colours.length - 1)) / 2;
  let begun = 1;
  let made = 0;
  let copies = HEATS.map(started);
  let { chosen, left, over, heat } = copies[0];
  const isFitting = () => over <= A_HAIR_G;
  return {
    step(budget) {
      if (isHopeless) return true;
      for (let weighed = 0; weighed < budget && made < most && !isFitting(); ) weighed += aRound();
      return isFitting() || made >= most;
    },
    get settled() {
      return Math.min(1, made / Math.max(1, most));
    },
    total: most * CHOICES.all ** 2,
    chosen() {
      if (isHopeless || !isFitting()) return undefined;
      const out: (number | undefined)[] = places.map(() => undefined);
      colours.forEach((colour, i) => {
        out[colour] = open[i][chosen[i] - firsts[i]] - starts[colour];
      });
      return out;
    },
  };

  /** Changes each copy in turn, then lets neighbours change places; how many pairs were weighed. */
  function aRound(): number {
    let weighed = 0;
    if (made >= (begun * most) / STARTS) {
      begun++;
      worth.set(usual);
      copies = HEATS.map(started);
    }
    for (const copy of copies) {
      ({ chosen, left, over, heat } = copy);
      for (let change = 0; change < TURN && !isFitting(); change++) weighed += changeTwo();
      copy.over = over;
      if (isFitting()) return weighed;
    }
    weighAgain();
    for (let at = 1; at < copies.length; at++) {
      const [cold, hot] = [copies[at - 1], copies[at]];
      const gain = (cold.over - hot.over) * (1 / cold.heat - 1 / hot.heat);
      if (Math.log(uniform()) >= gain) continue;
      copies[at - 1] = { ...hot, heat: cold.heat };
      copies[at] = { ...cold, heat: hot.heat };
    }
    return weighed;
  }

  function weighAgain(): void {
    const cold = copies[0].left;
    for (let block = 0; block < worth.length; block++) {
      worth[block] =
        cold[block] < -A_HAIR_G
          ? Math.min(worth[block] * DEARER, usual[block] * MOST_DEAR)
          : usual[block] + (worth[block] - usual[block]) * CHEAPER;
    }
    for (const copy of copies) copy.over = lackingOf(copy.left);
  }

  function started(heat: number): Copy {
    const copy = {
      heat,
      chosen: new Int32Array(colours.length),
      left: Float64Array.from(there),
      over: 0,
    };
    if (isHopeless) return copy;
    open.forEach((own, i) => {
      copy.chosen[i] = firsts[i] + Math.floor(uniform() * own.length);
      for (let use = copy.chosen[i] * wide; use < (copy.chosen[i] + 1) * wide; use++) {
        copy.left[blocks[use]] -= grams[use];
      }
    });
    copy.over = lackingOf(copy.left);
    return copy;
  }

  /** Gives two colours another pair of recipes; the number of pairs there are. */
  function changeTwo(): number {
    made++;
    const one = Math.floor(uniform() * colours.length);
    const other = (one + 1 + Math.floor(uniform() * (colours.length - 1))) % colours.length;
    const [ofOne, ofOther] = [chosen[one], chosen[other]];
    put(ofOne, -1);
    put(ofOther, -1);
    let best = Number.POSITIVE_INFINITY;
    let [nextOne, nextOther] = [ofOne, ofOther];
    for (let first = firsts[one]; first < firsts[one + 1]; first++) {
      const alone = more(first);
      if (alone > best + MOST_HEATS * heat) continue;
      put(first, 1);
      for (let second = firsts[other]; second < firsts[other + 1]; second++) {
        const both = alone + more(second);
        if (both > best + MOST_HEATS * heat || (first === ofOne && second === ofOther)) continue;
        // The least of values with such noise is chosen with chances that fall by exp(−value / heat).
        const noisy = both + heat * Math.log(-Math.log(uniform() + Number.MIN_VALUE));
        if (noisy < best) [best, nextOne, nextOther] = [noisy, first, second];
      }
      put(first, -1);
    }
    put(nextOne, 1);
    put(nextOther, 1);
    const then = lackingOf(left);
    if (then <= over || uniform() < Math.exp((over - then) / heat)) {
      [chosen[one], chosen[other], over] = [nextOne, nextOther, then];
    } else {
      put(nextOne, -1);
      put(nextOther, -1);
      put(ofOne, 1);
      put(ofOther, 1);
    }
    return open[one].length * open[other].length;
  }

  function put(recipe: number, times: 1 | -1): void {
    for (let use = recipe * wide; use < (recipe + 1) * wide; use++) {
      left[blocks[use]] -= times * grams[use];
    }
  }

  /** What a recipe would lack more, by what its grams are worth. */
  function more(recipe: number): number {
    let sum = 0;
    for (let use = recipe * wide; use < (recipe + 1) * wide; use++) {
      const there = left[blocks[use]];
      const lack = there > 0 ? grams[use] - there : grams[use];
      if (lack > 0) sum += lack * worth[blocks[use]];
    }
    return sum;
  }

  function lackingOf(left: Float64Array): number {
    let sum = 0;
    for (let block = 0; block < there.length; block++) {
      if (left[block] < 0) sum -= left[block] * worth[block];
    }
    return sum;
  }
}

/** The first of some recipes, and then the first of each set of blocks that is not among them. */
function varied({ uses, blocks }: RecipeTable, recipes: readonly number[]): readonly number[] {
  const first = recipes.slice(0, CHOICES.least);
  const setOf = (at: number) =>
    blocks
      .subarray(uses[at], uses[at + 1])
      .toSorted()
      .join();
  const known = new Set(first.map(setOf));
  const others = recipes.slice(CHOICES.least).filter((at) => {
    const isNew = !known.has(setOf(at));
    known.add(setOf(at));
    return isNew;
  });
  const more = [...others, ...recipes.slice(CHOICES.least)];
  return [...new Set([...first, ...more])].slice(0, CHOICES.all);
}

/** Recipes one after the other with as many uses each, so that none is looked up; those added use 0 g of block 0. */
function padded({ uses, blocks, grams }: RecipeTable, open: readonly (readonly number[])[]) {
  const recipes = open.flat();
  const wide = recipes.reduce((most, at) => Math.max(most, uses[at + 1] - uses[at]), 0);
  const firsts = new Int32Array(open.length + 1);
  open.forEach((own, i) => {
    firsts[i + 1] = firsts[i] + own.length;
  });
  const flat = {
    ...{ firsts, wide },
    blocks: new Uint16Array(wide * recipes.length),
    grams: new Float64Array(wide * recipes.length),
  };
  recipes.forEach((at, i) => {
    flat.blocks.set(blocks.subarray(uses[at], uses[at + 1]), i * wide);
    flat.grams.set(grams.subarray(uses[at], uses[at + 1]), i * wide);
  });
  return flat;
}
