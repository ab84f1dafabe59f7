import type { ClayFile } from '../../domain/clay-file.ts';
import type { Predictor } from '../../core/clay/predict.ts';
import type { TileReading } from '../../core/clay/tile-reading.ts';
import type { Lab } from '../../core/colour/triples.ts';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import type { SeekQuestion } from '../../core/find/find-plan.ts';
import type { Sought } from '../../core/find/find-answer.ts';

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

export interface SeekAsk {
  readonly question: SeekQuestion;
  /** What the question calls each parent, by index. */
  readonly names: readonly string[];
  /** Parents that recipes may be made of at all. */
  readonly usable: readonly number[];
}

/** What is found of a question, so far or in the end. */
export interface Finding {
  readonly sought: Sought;
  /** The search itself still runs. */
  readonly searching: boolean;
  /** Share of all recipes tried or proven worse, 0-1. */
  readonly settled: number;
  /** What is being done now. */
  readonly what: string;
  /** Nothing more will come. */
  readonly done: boolean;
}

export type Ask =
  | { readonly do: 'open'; readonly source: ClaySource }
  | { readonly do: 'foretell'; readonly parts: readonly Share[] }
  /** The opened clays themselves, for the page to foretell with. */
  | { readonly do: 'hand-over' }
  | { readonly do: 'seek'; readonly ask: SeekAsk }
  | { readonly do: 'reach'; readonly parents: readonly number[] }
  | { readonly do: 'stop' };

export type Answer =
  | { readonly kind: 'opened'; readonly parents: readonly KnownParent[]; readonly basis: Basis }
  | { readonly kind: 'foretold'; readonly foretold: Foretold }
  | { readonly kind: 'handed-over'; readonly predictor: Predictor }
  | ({ readonly kind: 'found' } & Finding)
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
