import type { Lab } from '../colour/triples.ts';

/** The counts that were meant differ from those in the lump by so much a clay, standard deviation. Judgement. */
const SLIP = 1.5;
const MOST_SLIPPED = 4;
/** Chance that the colour wanted is that of a recipe close to the lump, and how far it then is from it, an axis. */
const IS_MEANT = 0.5;
const WIDTH = 0.7;
/** A colour that is no such recipe's is about so far off the lump, an axis. */
const ELSEWHERE = 6;
/** Recipes that are looked at in every draw. */
const CLOSEST = 24;

/** Pieces of the clays of a lump, in their order, with the chance that just these were meant. */
interface Meant {
  readonly counts: readonly number[];
  readonly prior: number;
}

/**
 * How likely a colour is wanted where clays and lump are as drawn: a lump that came out wrong was mostly meant to
 * be a recipe close to what is in it, and then the colour wanted is one that this recipe has.
 * Shape:   whole counts in the lump, the colour wanted, colours of counts in some draws
 *          -> natural logarithm of a density, of one draw
 * Returns: undefined for a lump of one clay, or of counts that are not whole
 */
export function chanceOfMeant<Draw>(
  counts: readonly number[],
  aim: Lab,
  draws: readonly Draw[],
  colourOf: (draw: Draw, counts: readonly number[]) => ArrayLike<number>,
): ((draw: Draw) => number) | undefined {
  if (counts.length < 2 || !counts.every((n) => Number.isInteger(n) && n > 0)) return undefined;
  const apart = (draw: Draw, of: readonly number[]) => {
    const lab = colourOf(draw, of);
    return (lab[0] - aim[0]) ** 2 + (lab[1] - aim[1]) ** 2 + (lab[2] - aim[2]) ** 2;
  };
  const close = recipesNear(counts)
    .map((one) => ({
      ...one,
      least: Math.min(...draws.map((draw) => apart(draw, one.counts))),
    }))
    .sort((a, b) => a.least - b.least)
    .slice(0, CLOSEST);
  const around = Math.min(...draws.map((draw) => apart(draw, counts)));
  const density = (width: number) => (width * Math.sqrt(2 * Math.PI)) ** -3;
  const elsewhere = (1 - IS_MEANT) * density(ELSEWHERE) * Math.exp(-around / (2 * ELSEWHERE ** 2));
  return (draw) => {
    let sum = elsewhere;
    for (const { counts: of, prior } of close) {
      sum += IS_MEANT * prior * density(WIDTH) * Math.exp(-apart(draw, of) / (2 * WIDTH ** 2));
    }
    return Math.log(sum);
  };
}

/** Counts that differ from those of the lump by some pieces; priors add up to 1. */
function recipesNear(counts: readonly number[]): Meant[] {
  let found: { readonly counts: readonly number[]; readonly squares: number }[] = [
    { counts: [], squares: 0 },
  ];
  for (const n of counts) {
    const next: typeof found = [];
    for (const { counts: before, squares } of found) {
      for (let slip = -MOST_SLIPPED; slip <= MOST_SLIPPED; slip++) {
        const all = squares + slip ** 2;
        if (n + slip >= 1 && all <= MOST_SLIPPED ** 2) {
          next.push({ counts: [...before, n + slip], squares: all });
        }
      }
    }
    found = next;
  }
  const weighed = found.map(({ counts: of, squares }) => ({
    counts: of,
    prior: Math.exp(-squares / (2 * SLIP ** 2)),
  }));
  const sum = weighed.reduce((total, { prior }) => total + prior, 0);
  return weighed.map((one) => ({ ...one, prior: one.prior / sum }));
}
