import type { Lab } from '../core/colour/triples.ts';
import { type NearestBook, nearestBook } from '../core/nearest/nearest.ts';
import type { BookKind } from '../domain/records/record.ts';

/** A colour of the book: whose it is, and where it was read. */
export interface IndexedColour {
  /** The record that tells the colour: a reading, or a mix with a predicted one. */
  readonly source: string;
  readonly lab: Lab;
  /** What it is a colour of: a block, a mix, or a tile of its own recipe. */
  readonly owner: string;
  readonly kind: BookKind;
  readonly raw: boolean;
}

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

export interface ColourIndex {
  /** Sets or replaces the colour of a source. */
  set(colour: IndexedColour): void;
  remove(source: string): void;
  /** Nearest first, each owner once. */
  nearest(query: ColourQuery): readonly ColourFound[];
}

/** Colours of a book under the exact search; one that was taken away is only no longer allowed. */
export function colourIndex(start: readonly IndexedColour[]): ColourIndex {
  const colours: (IndexedColour | undefined)[] = [...start];
  const placeOf = new Map(start.map(({ source }, place) => [source, place]));
  const near: NearestBook = nearestBook(start.flatMap(({ lab }) => [...lab]));

  return {
    set(colour) {
      const place = placeOf.get(colour.source) ?? colours.length;
      const old = colours[place]?.lab;
      if (old === undefined || old.some((value, axis) => value !== colour.lab[axis])) {
        near.set(place, colour.lab);
      }
      colours[place] = colour;
      placeOf.set(colour.source, place);
    },
    remove(source) {
      const place = placeOf.get(source);
      if (place !== undefined) colours[place] = undefined;
    },
    nearest({ lab, kinds, top, within, raw = false }) {
      const allowed = new Uint8Array(colours.length);
      for (let i = 0; i < colours.length; i++) {
        const colour = colours[i];
        if (colour === undefined || (colour.raw && !raw)) continue;
        if (kinds === undefined || kinds.includes(colour.kind)) allowed[i] = 1;
      }
      // A mix with many readings must not crowd out the next mix, so more are asked for until enough.
      for (let ask = top + 8; ; ask *= 4) {
        const options = { top: ask, allowed, ...(within === undefined ? {} : { within }) };
        const found = near.nearest(lab, options);
        const owners = new Map<string, ColourFound>();
        for (const { index, dE00 } of found) {
          const { owner, source } = colours[index]!;
          if (owners.has(owner)) continue;
          owners.set(owner, { id: owner, source, predicted: owner === source, dE00 });
        }
        if (owners.size >= top || found.length < ask) return [...owners.values()].slice(0, top);
      }
    },
  };
}
