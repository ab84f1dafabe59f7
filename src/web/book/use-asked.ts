import {
  startTransition,
  useCallback,
  useEffect,
  useLayoutEffect,
  useMemo,
  useRef,
  useState,
} from 'react';
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

/**
 * Asks whenever the question changes, at once if that had not changed for a while; not where its answer is
 * known. `ask` and `known` stay the same.
 * Answers are drawn one after the other between what the user does; those that come faster than this device
 * can draw are left out.
 */
export function useAsked<Q, A>(
  question: Q | undefined,
  ask: (question: Q, hear: (answer: A) => void, fault: (fault: Error) => void) => Asked,
  known?: (question: Q) => A | undefined,
): Heard<A> {
  const [heard, setHeard] = useState<{ key: string; answer: A } | undefined>();
  const [fault, setFault] = useState<Error | undefined>();
  const [stopped, setStopped] = useState(false);
  const asked = useRef<Asked | undefined>(undefined);
  const lastMs = useRef(Number.NEGATIVE_INFINITY);
  /** The answer being drawn is not on the screen yet; the newest one after it waits. */
  const drawing = useRef(false);
  const waiting = useRef<{ key: string; answer: A } | undefined>(undefined);
  const draw = useCallback((next: { key: string; answer: A }) => {
    if (drawing.current) {
      waiting.current = next;
      return;
    }
    drawing.current = true;
    startTransition(() => setHeard(next));
  }, []);
  useEffect(() => {
    if (heard === undefined) return;
    drawing.current = false;
    const next = waiting.current;
    waiting.current = undefined;
    if (next !== undefined) draw(next);
  }, [heard, draw]);
  const key = useMemo(() => (question === undefined ? '' : JSON.stringify(question)), [question]);
  // Before the browser paints: the worker starts while the page draws.
  useLayoutEffect(() => {
    setFault(undefined);
    setStopped(false);
    if (key === '') return setHeard(undefined);
    const answer = known?.(JSON.parse(key) as Q);
    if (answer !== undefined) return setHeard({ key, answer });
    const nowMs = performance.now();
    const rested = nowMs - lastMs.current > PAUSE_MS;
    lastMs.current = nowMs;
    const start = () => {
      asked.current = ask(JSON.parse(key) as Q, (answer) => draw({ key, answer }), setFault);
    };
    const timer = rested ? undefined : setTimeout(start, PAUSE_MS);
    if (rested) start();
    return () => {
      clearTimeout(timer);
      asked.current?.leave();
      asked.current = undefined;
      drawing.current = false;
      waiting.current = undefined;
    };
  }, [ask, known, key, draw]);
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
