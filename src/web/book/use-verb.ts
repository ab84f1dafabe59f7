import { useCallback, useMemo } from 'react';
import type { Studio } from '../find/studio.ts';
import type {
  AnsweredSoFar,
  AnswerOf,
  AskedVerb,
  QuestionTo,
  VerbAsk,
} from '../workers/asked-verbs.ts';
import type { OpenClays } from './clays.ts';
import { type Heard, useAsked } from './use-asked.ts';

/** Asks a verb about the clays of the book whenever the question changes; undefined asks nothing. */
export function useVerb<N extends AskedVerb>(
  { worker }: OpenClays,
  { names, clays }: Studio,
  verb: N,
  question: QuestionTo<N> | undefined,
): Heard<AnsweredSoFar<AnswerOf<N>>> {
  const ask = useMemo<VerbAsk<N> | undefined>(
    () =>
      question === undefined
        ? undefined
        : { verb, question, names, usable: clays.map(({ clay }) => clay) },
    [verb, question, names, clays],
  );
  const send = useCallback<typeof worker.ask<N>>(
    (asked, hear, fault) => worker.ask(asked, hear, fault),
    [worker],
  );
  return useAsked(ask, send);
}
