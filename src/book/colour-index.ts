import type { Lab } from '../core/colour/triples.ts';
import { type NearestBook, nearestBook } from '../core/nearest/nearest.ts';
import type { BookKind } from '../domain/records/record.ts';

export interface ColourQuery {
  /** D50, 2 degrees. */
  readonly lab: Lab;
  readonly kinds?: readonly BookKind[];
  readonly top: number;
  /** Only up to so far, CIEDE2000. */
  readonly within?: number;
  /** Raw colours too; baked ones only unless asked. */
  readonly raw?: boolean;
}

export interface ColourFound {
  /** The block or mix; a tile of its own recipe. */
  readonly id: string;
  /** The reading, or the mix itself where the colour was predicted. */
  readonly source: string;
  readonly predicted: boolean;
  readonly dE00: number;
}

/** Colours by the number of their owner under the exact search; one that went is only not allowed. */
export interface ColourIndex {
  set(number: number, lab: Lab | undefined): void;
  /** The closest first. */
  closest(
    lab: Lab,
    options: {
      readonly allowed: (number: number) => boolean;
      readonly top: number;
      readonly within?: number;
    },
  ): readonly { readonly number: number; readonly dE00: number }[];
}

export function colourIndex(start: ReadonlyMap<number, Lab>): ColourIndex {
  const numbers = [...start.keys()];
  const gone = new Set<number>();
  const placeOf = new Map(numbers.map((number, place) => [number, place]));
  const labs = new Float64Array(3 * numbers.length);
  for (const [place, number] of numbers.entries()) labs.set(start.get(number)!, 3 * place);
  const colours: NearestBook = nearestBook(labs);

  return {
    set(number, lab) {
      if (lab === undefined) {
        if (placeOf.has(number)) gone.add(number);
        return;
      }
      const place = placeOf.get(number) ?? numbers.length;
      colours.set(place, lab);
      numbers[place] = number;
      placeOf.set(number, place);
      gone.delete(number);
    },
    closest(lab, { allowed, top, within }) {
      const flags = new Uint8Array(numbers.length);
      for (const [place, number] of numbers.entries()) {
        if (!gone.has(number) && allowed(number)) flags[place] = 1;
      }
      return colours
        .nearest(lab, { top, allowed: flags, ...(within === undefined ? {} : { within }) })
        .map(({ index, dE00 }) => ({ number: numbers[index], dE00 }));
    },
  };
}
