import { useCallback, useMemo } from 'react';
import type { Studio } from '../find/studio.ts';
import type {
  AnsweredSoFar,
  AnswerOf,
  AskedVerb,
  QuestionTo,
  VerbAsk,
} from '../workers/asked-verbs.ts';
import type { Asked, ClayWorkerClient } from '../workers/clay-worker-client.ts';
import type { OpenClays } from './clays.ts';
import { type Heard, useAsked } from './use-asked.ts';

/** Most answers kept of the same clays: the stops of a slider, and a few questions before them. */
const MOST_KEPT = 32;

/**
 * Whole answers by their question, the newest last. An answer depends on its question and the clays alone, and
 * goes with those.
 */
const kept = new WeakMap<ClayWorkerClient, Map<string, unknown>>();

/**
 * Asks a verb about the clays of the book whenever the question changes; undefined asks nothing. A question
 * whose answer is kept is not asked again.
 */
export function useVerb<N extends AskedVerb>(
  { worker }: OpenClays,
  { names, clays }: Studio,
  verb: N,
  question: QuestionTo<N> | undefined,
): Heard<Answered<N>> {
  const ask = useMemo<VerbAsk<N> | undefined>(
    () =>
      question === undefined
        ? undefined
        : { verb, question, names, usable: clays.map(({ clay }) => clay) },
    [verb, question, names, clays],
  );
  const send = useCallback(
    (
      asked: VerbAsk<N>,
      hear: (soFar: Answered<N>) => void,
      fault: (fault: Error) => void,
    ): Asked => {
      let isStopped = false;
      const heard = (soFar: Answered<N>) => {
        if (soFar.done && !isStopped) keep(worker, asked, soFar);
        hear(soFar);
      };
      const { stop, leave } = worker.ask(asked, heard, fault);
      return {
        stop() {
          isStopped = true;
          stop();
        },
        leave,
      };
    },
    [worker],
  );
  const known = useCallback(
    (asked: VerbAsk<N>) => kept.get(worker)?.get(JSON.stringify(asked)) as Answered<N> | undefined,
    [worker],
  );
  return useAsked(ask, send, known);
}

type Answered<N extends AskedVerb> = AnsweredSoFar<AnswerOf<N>>;

function keep(worker: ClayWorkerClient, ask: VerbAsk, answer: AnsweredSoFar): void {
  const answers = kept.get(worker) ?? new Map<string, unknown>();
  kept.set(worker, answers.set(JSON.stringify(ask), answer));
  if (answers.size > MOST_KEPT) answers.delete(answers.keys().next().value!);
}
