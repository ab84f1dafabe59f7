import type { z } from 'zod';
import type { KnownClays } from '../../core/find/known-clays.ts';
import type { Verb } from '../../verbs/verb.ts';

/** Questions that screens ask about the clays at hand, each with its script when it is asked first. */
export const ASKED_VERBS = {
  try: async () => (await import('../../verbs/try.ts')).tryBalls,
  mend: async () => (await import('../../verbs/mend.ts')).mend,
  ladder: async () => (await import('../../verbs/ladder.ts')).ladder,
  chart: async () => (await import('../../verbs/chart.ts')).chart,
  translate: async () => (await import('../../verbs/translate.ts')).translate,
  'buy-or-mix': async () => (await import('../../verbs/buy-or-mix.ts')).buyOrMix,
  'new-lot': async () => (await import('../../verbs/new-lot.ts')).newLot,
  'check-names': async () => (await import('../../verbs/check-names.ts')).checkNames,
  'buying-list': async () => (await import('../../verbs/buying-list.ts')).buyingList,
  figure: async () => (await import('../../verbs/figure.ts')).figure,
  twins: async () => (await import('../../verbs/twins.ts')).twins,
  'compare-lines': async () => (await import('../../verbs/compare-lines.ts')).compareLines,
  widen: async () => (await import('../../verbs/widen.ts')).widen,
} as const;

export type AskedVerb = keyof typeof ASKED_VERBS;
type VerbNamed<N extends AskedVerb> = Awaited<ReturnType<(typeof ASKED_VERBS)[N]>>;
export type QuestionTo<N extends AskedVerb> = z.input<VerbNamed<N>['question']>;
export type AnswerOf<N extends AskedVerb> =
  VerbNamed<N> extends Verb<string, KnownClays, z.ZodObject, infer A> ? A : never;

/** A question to a verb, with the names of the clays at hand and those that may be used, by index. */
export interface VerbAsk<N extends AskedVerb = AskedVerb> {
  readonly verb: N;
  readonly question: QuestionTo<N>;
  readonly names: readonly string[];
  readonly usable: readonly number[];
}

/** The answer so far, or the whole one. */
export interface AnsweredSoFar<A = unknown> {
  /** Absent until there is something to show. */
  readonly answer?: A;
  /** The current step in words. */
  readonly what: string;
  readonly done: boolean;
}
