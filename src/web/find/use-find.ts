import { useCallback, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'react';
import { flushSync } from 'react-dom';
import type { OpenClays } from '../book/clays.ts';
import type { Asked } from '../workers/clay-worker-client.ts';
import type { FindAsk, FoundSoFar, Prediction, Share } from '../workers/messages.ts';
import type { Hand } from './use-hand.ts';

export interface Finding {
  /** What is found so far; of the request before until the first answer to this one comes. */
  readonly found: FoundSoFar | undefined;
  /** `found` belongs to an older request. */
  readonly old: boolean;
  readonly fault: Error | undefined;
  readonly stopped: boolean;
  /** Ends the search with the best so far. */
  readonly stop: () => void;
}

/** Wait after a change, so that moving a slider does not start a hundred searches. */
const PAUSE_MS = 120;

/** Searches whenever the request changes, at once if it had not changed for a while. */
export function useFind(clays: OpenClays, ask: FindAsk | undefined): Finding {
  const [latest, setLatest] = useState<{ key: string; found: FoundSoFar } | undefined>();
  const [fault, setFault] = useState<Error | undefined>();
  const [stopped, setStopped] = useState(false);
  const asked = useRef<Asked | undefined>(undefined);
  const lastMs = useRef(Number.NEGATIVE_INFINITY);
  const key = useMemo(() => (ask === undefined ? '' : JSON.stringify(ask)), [ask]);
  // Before the browser paints: the worker searches while the page draws.
  useLayoutEffect(() => {
    setFault(undefined);
    setStopped(false);
    if (key === '') return setLatest(undefined);
    const nowMs = performance.now();
    const rested = nowMs - lastMs.current > PAUSE_MS;
    lastMs.current = nowMs;
    const start = () => {
      asked.current = clays.worker.find(
        JSON.parse(key) as FindAsk,
        (found) => setLatest({ key, found }),
        setFault,
      );
    };
    const timer = rested ? undefined : setTimeout(start, PAUSE_MS);
    if (rested) start();
    return () => {
      clearTimeout(timer);
      asked.current?.leave();
      asked.current = undefined;
    };
  }, [clays, key]);
  const stop = useCallback(() => {
    asked.current?.stop();
    setStopped(true);
  }, []);
  return useMemo(
    () => ({
      found: latest?.found,
      old: latest !== undefined && latest.key !== key,
      fault,
      stopped,
      stop,
    }),
    [latest, key, fault, stopped, stop],
  );
}

/** The shares of a recipe: its clays with more than 0 parts. */
export function sharesOf(clays: OpenClays, hand: Hand): readonly Share[] {
  return hand.flatMap(({ blockId, parts }) => {
    const block = clays.byBlock.get(blockId);
    return block === undefined || parts <= 0 ? [] : [{ clay: block.clay, parts }];
  });
}

/**
 * Predicts the recipe in hand: within the same rendering where the clays are loaded here, else as soon as
 * the worker answers. An outdated answer is never shown.
 */
export function usePrediction(clays: OpenClays, hand: Hand): Prediction | undefined {
  const [came, setCame] = useState<Prediction | undefined>();
  const newest = useRef(0);
  const shares = sharesOf(clays, hand);
  const key = JSON.stringify(shares);
  const now = shares.length === 0 ? undefined : clays.worker.predictNow(shares);
  const waits = now === undefined && shares.length > 0;
  useEffect(() => {
    const turn = ++newest.current;
    if (!waits) return;
    clays.worker
      .predict(JSON.parse(key) as Share[])
      .then((next) => {
        // Rendered at once: a moved piece must show its colour without delay.
        if (turn === newest.current) flushSync(() => setCame(next));
      })
      // The error is shown where the clays are opened.
      .catch(() => setCame(undefined));
  }, [clays, key, waits]);
  if (shares.length === 0) return undefined;
  return now ?? came;
}
