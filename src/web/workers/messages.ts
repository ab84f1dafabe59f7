import type { ClayFile } from '../../contract/clay-file.ts';
import type { TileReading } from '../../core/clay/tile-reading.ts';
import type { Lab } from '../../core/colour/triples.ts';
import type { SeekRules } from '../../core/recipe/seek-rules.ts';
import type { Side, Verdict } from '../../core/recipe/verdict.ts';

/** What the clays are known from: a learnt file, or colours of the blocks alone. */
export type ClaySource =
  | { readonly kind: 'learnt'; readonly file: ClayFile }
  | { readonly kind: 'rough'; readonly readings: readonly TileReading[] };

/** A parent as the worker knows it; `name` is the clay file's, or the block's id where rough. */
export interface KnownParent {
  readonly name: string;
  readonly lab: Lab;
  readonly plusMinus: number;
}

export interface Share {
  /** Index among the parents. */
  readonly parent: number;
  /** 0-1, or parts: only their proportions count. */
  readonly parts: number;
}

export interface Foretold {
  /** D50, 2 degrees. */
  readonly lab: Lab;
  /** 3 x 3 by rows. */
  readonly covariance: readonly number[];
  readonly plusMinus: number;
}

export interface Found extends Foretold {
  readonly parts: readonly Share[];
  readonly verdict: Verdict;
  /** That it lies within the tolerance, 0-1. */
  readonly chance: number;
}

export interface SeekAsk {
  readonly aim: Lab;
  readonly tolerance: number;
  readonly parents: readonly number[];
  readonly mostParents: number;
  readonly parts: number;
  readonly top: number;
  readonly rules?: SeekRules;
}

export interface Help {
  readonly kind: 'all-clays' | 'more-parts' | 'more-parents';
  readonly value: number;
  readonly found: Found;
}

export interface Shortfall {
  /** Absent where no recipe keeps to the rules. */
  readonly dE00?: number;
  readonly sides: readonly Side[];
  readonly helps: readonly Help[];
  /** A clay nobody owns that would do it, as its own tile would look. */
  readonly missing?: Lab;
}

export type Ask =
  | { readonly do: 'open'; readonly source: ClaySource }
  | { readonly do: 'foretell'; readonly parts: readonly Share[] }
  | { readonly do: 'seek'; readonly call: SeekAsk }
  | { readonly do: 'reach'; readonly parents: readonly number[] }
  | { readonly do: 'stop' };

export type Answer =
  | { readonly kind: 'opened'; readonly parents: readonly KnownParent[] }
  | { readonly kind: 'foretold'; readonly foretold: Foretold }
  | {
      readonly kind: 'found';
      readonly recipes: readonly Found[];
      /** Share of all recipes tried or proven worse, 0-1. */
      readonly settled: number;
      readonly total: number;
      readonly done: boolean;
      readonly shortfall?: Shortfall;
    }
  | { readonly kind: 'reached'; readonly points: readonly Lab[] }
  | {
      readonly kind: 'fault';
      readonly code: string;
      readonly detail: string;
      readonly hint: string;
    };

export interface Sent<T> {
  readonly id: number;
  readonly body: T;
}
