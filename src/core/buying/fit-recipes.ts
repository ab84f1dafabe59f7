import { lowest } from '../numeric/lowest.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import type { RecipeTable } from './recipe-table.ts';

/** Grams more than there are that do not count. */
const A_HAIR_G = 1e-6;
const SEED = 23;
/** How much worse a step may be at first and at the end, as shares of the grams of a usual colour. */
const FIRST_HEAT = 0.1;
const LAST_HEAT = 2e-4;

/** Recipes of each colour that are tried, the least dear ones. */
const TRIED = 500;

export interface FitOptions {
  readonly steps: number;
  /** By colour: how far each of its recipes is from being worth its clay. */
  readonly dear: readonly ArrayLike<number>[];
}

export interface FitRun {
  /** Tries about so many more steps; true at the end. */
  step(budget: number): boolean;
  readonly settled: number;
  readonly total: number;
  /** The recipe of each colour, as a place in its own list; undefined where none were found that fit. */
  chosen(): readonly (number | undefined)[] | undefined;
}

/**
 * Looks for one recipe of each colour, so that together they need no more of any block than there is. Recipes are
 * changed one at a time; a change that needs more is taken less and less often.
 * Shape:   grams there are of each block; a colour without recipes is passed over
 * Source:  simulated annealing [Kirkpatrick1983]
 * Returns: `chosen` undefined does not prove that nothing fits
 */
export function startFit(
  { starts, uses, blocks, grams }: RecipeTable,
  there: readonly number[],
  { steps, dear }: FitOptions,
): FitRun {
  const { uniform } = seededChance(SEED);
  const open = Array.from({ length: starts.length - 1 }, (_, colour) => openOf(colour));
  const colours = open.flatMap((_, colour) =>
    starts[colour] < starts[colour + 1] ? [colour] : [],
  );
  const isHopeless = colours.some((colour) => open[colour].length === 0);
  const chosen = new Int32Array(open.length);
  const used = new Float64Array(there.length);
  let over = 0;
  let sum = 0;
  for (const colour of isHopeless ? [] : colours) {
    chosen[colour] = anyOf(open[colour]);
    over += changed(chosen[colour], 1);
    for (let at = uses[chosen[colour]]; at < uses[chosen[colour] + 1]; at++) sum += grams[at];
  }
  const usual = sum / Math.max(1, colours.length);
  const cooler = (LAST_HEAT / FIRST_HEAT) ** (1 / steps);
  let heat = FIRST_HEAT * usual;
  let taken = 0;
  const isEnded = () => isHopeless || over <= A_HAIR_G || taken >= steps;
  return {
    step(budget) {
      for (const until = taken + budget; taken < until && !isEnded(); taken++) change();
      return isEnded();
    },
    get settled() {
      return taken / steps;
    },
    total: steps,
    chosen: () =>
      isHopeless || over > A_HAIR_G
        ? undefined
        : open.map((own, colour) =>
            own.length === 0 ? undefined : chosen[colour] - starts[colour],
          ),
  };

  function change(): void {
    heat *= cooler;
    const colour = colours[Math.floor(uniform() * colours.length)];
    const before = chosen[colour];
    const next = anyOf(open[colour]);
    const more = changed(before, -1) + changed(next, 1);
    if (more <= 0 || uniform() < Math.exp(-more / heat)) {
      chosen[colour] = next;
      over += more;
      return;
    }
    changed(next, -1);
    changed(before, 1);
  }

  /** Adds or takes away a recipe. Returns: grams more that are lacking */
  function changed(recipe: number, times: 1 | -1): number {
    let more = 0;
    for (let at = uses[recipe]; at < uses[recipe + 1]; at++) {
      const block = blocks[at];
      more -= Math.max(0, used[block] - there[block]);
      used[block] += times * grams[at];
      more += Math.max(0, used[block] - there[block]);
    }
    return more;
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
    const from = starts[colour];
    const least = lowest(out.length, TRIED, (at) => dear[colour][out[at] - from]);
    return Int32Array.from(least, (at) => out[at]);
  }

  function anyOf(list: Int32Array): number {
    return list[Math.floor(uniform() * list.length)];
  }
}
