import { itemAt } from '../core/numeric/pairs.ts';
/** Numbers in an order that is kept while what they stand for changes. */
export interface SavedOrder {
  /** These came, changed or went. */
  touch(numbers: readonly number[]): void;
  /** All that belong to it, in order; never change what it gives. */
  all(): readonly number[];
}

/**
 * An order that is sorted once and then updated: each changed number is taken out and put back where it
 * now belongs, when the order is next wanted.
 * Shape:   a comparison without ties, which may change only for numbers passed to `touch`
 * Holds:   the same as sorting all that belong to it again
 */
export function savedOrder(options: {
  /** Numbers run below it. */
  readonly size: () => number;
  readonly belongs: (number: number) => boolean;
  readonly compare: (one: number, other: number) => number;
}): SavedOrder {
  const { size, belongs, compare } = options;
  let sorted: readonly number[] | undefined;
  const touched = new Set<number>();

  return {
    touch(numbers) {
      if (sorted !== undefined) for (const number of numbers) touched.add(number);
    },
    all() {
      if (sorted === undefined) {
        const all: number[] = [];
        for (let number = 0; number < size(); number++) if (belongs(number)) all.push(number);
        sorted = all.sort(compare);
      } else if (touched.size > 0) {
        const stay = sorted.filter((number) => !touched.has(number));
        const come = [...touched].filter(belongs).sort(compare);
        sorted = merged(stay, come, compare);
      }
      touched.clear();
      return sorted;
    },
  };
}

function merged(
  many: readonly number[],
  few: readonly number[],
  compare: (one: number, other: number) => number,
): readonly number[] {
  const out: number[] = [];
  let from = 0;
  for (const number of few) {
    let low = from;
    let high = many.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (compare(itemAt(many, middle), number) < 0) low = middle + 1;
      else high = middle;
    }
    for (const one of many.slice(from, low)) out.push(one);
    out.push(number);
    from = low;
  }
  for (const one of many.slice(from)) out.push(one);
  return out;
}
