import type { Predictor } from '../../core/clay/predict.ts';
import type { TileReading } from '../../core/clay/tile-reading.ts';
import type { Lab } from '../../core/colour/triples.ts';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import type { FindAnswer } from '../../verbs/find-answer.ts';
import type { FindQuestion } from '../../verbs/find-question.ts';
import type { AnsweredSoFar, VerbAsk } from './asked-verbs.ts';

/** The source of the clays: a clay model, or the colours of the blocks alone. */
export type ClaySource = {
  /** Of blocks that no file holds, named by their ids. */
  readonly rough: readonly TileReading[];
  /** Blocks of which nothing is known but their names; those whose name says a colour are opened too. */
  readonly named: readonly NamedBlock[];
} & (
  | {
      readonly kind: 'learned';
      /** A clay file as the book gives it: its bytes, or read. */
      readonly file: unknown;
    }
  | { readonly kind: 'rough' }
);

export interface NamedBlock {
  readonly id: string;
  readonly name: string;
  readonly clayType: string;
}

/** A clay as the worker knows it; `name` is the clay file's, or the block's id where rough. */
export interface KnownClay {
  readonly name: string;
  readonly lab: Lab;
  readonly plusMinus: number;
  /** No tile of it was measured. */
  readonly rough: boolean;
}

export interface Share {
  /** Index among the clays. */
  readonly clay: number;
  /** 0-1, or parts: only their proportions count. */
  readonly parts: number;
}

export interface Prediction {
  /** D50, 2 degrees. */
  readonly lab: Lab;
  /** 3 x 3 by rows. */
  readonly covariance: readonly number[];
  readonly plusMinus: number;
}

export interface FindAsk {
  readonly question: FindQuestion;
  /** The name of each clay in the question, by index. */
  readonly names: readonly string[];
  /** Clays that recipes may use. */
  readonly usable: readonly number[];
}

/** The recipes found, so far or in the end. */
export interface FoundSoFar {
  readonly found: FindAnswer;
  /** The search itself still runs. */
  readonly searching: boolean;
  /** Share of all recipes tried or proven worse, 0-1. */
  readonly settled: number;
  /** The current step in words. */
  readonly what: string;
  /** The search is finished. */
  readonly done: boolean;
}

export type Ask =
  | { readonly do: 'open'; readonly source: ClaySource }
  | { readonly do: 'predict'; readonly parts: readonly Share[] }
  /** The opened clays themselves, for the page to predict with. */
  | { readonly do: 'hand-over' }
  | { readonly do: 'find'; readonly ask: FindAsk }
  | { readonly do: 'ask'; readonly ask: VerbAsk }
  | { readonly do: 'reach'; readonly clays: readonly number[] }
  | { readonly do: 'stop' };

export type Answer =
  | { readonly kind: 'opened'; readonly clays: readonly KnownClay[]; readonly basis: Basis }
  | { readonly kind: 'predicted'; readonly predicted: Prediction }
  | { readonly kind: 'handed-over'; readonly predictor: Predictor }
  | ({ readonly kind: 'found' } & FoundSoFar)
  | ({ readonly kind: 'answered' } & AnsweredSoFar)
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
