import { lchFromLab } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';

/** Below this chroma a colour has no hue to go by. */
const GREYISH = 8;
/** Rounds of improvement; an order of hundreds settles in a few. */
const ROUNDS = 30;

/**
 * An order in which neighbours look alike: greys from dark to light, then colours around the hues, improved by
 * turning stretches round as long as the way through all colours gets shorter.
 * Shape:   colours -> their places, each once
 * Holds:   never longer than the order by hue that it starts from
 */
export function orderByColour(labs: readonly Lab[]): readonly number[] {
  const keyed = labs.map((lab, i) => {
    const [lightness, chroma, hue] = lchFromLab(lab);
    return { i, grey: chroma < GREYISH, lightness, hue };
  });
  const order = keyed
    .sort((one, other) => {
      if (one.grey !== other.grey) return one.grey ? -1 : 1;
      return one.grey ? one.lightness - other.lightness : one.hue - other.hue;
    })
    .map(({ i }) => i);
  for (let round = 0; round < ROUNDS; round++) {
    if (!improved(order, labs)) break;
  }
  return order;
}

/** One round of turning stretches round; whether any turn helped. */
function improved(order: number[], labs: readonly Lab[]): boolean {
  const apart = (a: number | undefined, b: number | undefined) => {
    if (a === undefined || b === undefined) return 0;
    return Math.hypot(labs[a][0] - labs[b][0], labs[a][1] - labs[b][1], labs[a][2] - labs[b][2]);
  };
  let helped = false;
  for (let from = 0; from < order.length - 1; from++) {
    for (let to = from + 1; to < order.length; to++) {
      const before = apart(order[from - 1], order[from]) + apart(order[to], order[to + 1]);
      const after = apart(order[from - 1], order[to]) + apart(order[from], order[to + 1]);
      if (after >= before - 1e-9) continue;
      order.splice(from, to - from + 1, ...order.slice(from, to + 1).reverse());
      helped = true;
    }
  }
  return helped;
}
