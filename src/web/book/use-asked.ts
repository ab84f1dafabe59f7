import { useCallback, useLayoutEffect, useMemo, useRef, useState } from 'react';
import type { Asked } from '../workers/clay-worker-client.ts';

/** What came of a question to the clays. */
export interface Heard<A> {
  /** The newest answer; of the question before until the first answer to this one comes. */
  readonly latest: A | undefined;
  /** `latest` belongs to an older question. */
  readonly old: boolean;
  readonly fault: Error | undefined;
  readonly stopped: boolean;
  /** Ends the work with the best so far. */
  readonly stop: () => void;
}

/** Wait after a change, so that moving a slider does not ask a hundred questions. */
const PAUSE_MS = 120;

/** Asks whenever the question changes, at once if that had not changed for a while. `ask` stays the same. */
export function useAsked<Q, A>(
  question: Q | undefined,
  ask: (question: Q, hear: (answer: A) => void, fault: (fault: Error) => void) => Asked,
): Heard<A> {
  const [heard, setHeard] = useState<{ key: string; answer: A } | undefined>();
  const [fault, setFault] = useState<Error | undefined>();
  const [stopped, setStopped] = useState(false);
  const asked = useRef<Asked | undefined>(undefined);
  const lastMs = useRef(Number.NEGATIVE_INFINITY);
  const key = useMemo(() => (question === undefined ? '' : JSON.stringify(question)), [question]);
  // Before the browser paints: the worker starts while the page draws.
  useLayoutEffect(() => {
    setFault(undefined);
    setStopped(false);
    if (key === '') return setHeard(undefined);
    const nowMs = performance.now();
    const rested = nowMs - lastMs.current > PAUSE_MS;
    lastMs.current = nowMs;
    const start = () => {
      asked.current = ask(JSON.parse(key) as Q, (answer) => setHeard({ key, answer }), setFault);
    };
    const timer = rested ? undefined : setTimeout(start, PAUSE_MS);
    if (rested) start();
    return () => {
      clearTimeout(timer);
      asked.current?.leave();
      asked.current = undefined;
    };
  }, [ask, key]);
  const stop = useCallback(() => {
    asked.current?.stop();
    setStopped(true);
  }, []);
  return useMemo(
    () => ({
      latest: heard?.answer,
      old: heard !== undefined && heard.key !== key,
      fault,
      stopped,
      stop,
    }),
    [heard, key, fault, stopped, stop],
  );
}
