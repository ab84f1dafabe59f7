import { deltaE2000 } from './difference.ts';
import type { Lab } from './triples.ts';

export interface OfGroup {
  readonly id: string;
  readonly lab: Lab;
  /** The line of a block. */
  readonly group: string;
}

/**
 * For every colour the closest one of any other group.
 * Shape:   colours, each with its group -> by id: that other colour, and how far off it is
 * Units:   CIEDE2000
 * Holds:   a colour is missing only where there is no other group
 */
export function closestOfOtherLines<T extends OfGroup>(
  colours: readonly T[],
): ReadonlyMap<string, { readonly other: T; readonly dE00: number }> {
  const found = new Map<string, { other: T; dE00: number }>();
  const offer = (one: T, other: T, dE00: number) => {
    const known = found.get(one.id);
    if (known === undefined || dE00 < known.dE00) found.set(one.id, { other, dE00 });
  };
  colours.forEach((one, i) => {
    for (const other of colours.slice(i + 1)) {
      if (other.group === one.group) continue;
      const dE00 = deltaE2000(one.lab, other.lab);
      offer(one, other, dE00);
      offer(other, one, dE00);
    }
  });
  return found;
}
