import { useCallback, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'react';
import { flushSync } from 'react-dom';
import type { OpenClays } from '../book/clays.ts';
import type { Asked } from '../workers/clay-worker-client.ts';
import type { Finding, Foretold, SeekAsk, Share } from '../workers/messages.ts';
import type { Hand } from './use-hand.ts';

export interface Seeking {
  /** What is found so far; of the question before for a moment, until the first of this one comes. */
  readonly finding: Finding | undefined;
  /** `finding` belongs to an older question. */
  readonly old: boolean;
  readonly fault: Error | undefined;
  readonly stopped: boolean;
  /** Ends it with the best so far. */
  readonly stop: () => void;
}

/** Waits so long after the last change of a question, so that a slider does not start a hundred. */
const PAUSE_MS = 120;

/** Seeks whenever the question changes, at once where it had rested, and tells what is found. */
export function useSeek(clays: OpenClays, ask: SeekAsk | undefined): Seeking {
  const [told, setTold] = useState<{ key: string; finding: Finding } | undefined>();
  const [fault, setFault] = useState<Error | undefined>();
  const [stopped, setStopped] = useState(false);
  const asked = useRef<Asked | undefined>(undefined);
  const lastMs = useRef(Number.NEGATIVE_INFINITY);
  const key = useMemo(() => (ask === undefined ? '' : JSON.stringify(ask)), [ask]);
  // Before the browser paints: the worker looks while the page draws.
  useLayoutEffect(() => {
    setFault(undefined);
    setStopped(false);
    if (key === '') return setTold(undefined);
    const nowMs = performance.now();
    const rested = nowMs - lastMs.current > PAUSE_MS;
    lastMs.current = nowMs;
    const start = () => {
      asked.current = clays.desk.seek(
        JSON.parse(key) as SeekAsk,
        (finding) => setTold({ key, finding }),
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
      finding: told?.finding,
      old: told !== undefined && told.key !== key,
      fault,
      stopped,
      stop,
    }),
    [told, key, fault, stopped, stop],
  );
}

/** What is asked of a recipe: its clays that have parts. */
export function sharesOf(clays: OpenClays, hand: Hand): readonly Share[] {
  return hand.flatMap(({ blockId, parts }) => {
    const block = clays.byBlock.get(blockId);
    return block === undefined || parts <= 0 ? [] : [{ parent: block.parent, parts }];
  });
}

/**
 * Foretells a recipe as the hand changes it: in the very drawing where the clays are at hand, else as soon
 * as the worker answers; an answer that is overtaken is never shown.
 */
export function useForetold(clays: OpenClays, hand: Hand): Foretold | undefined {
  const [came, setCame] = useState<Foretold | undefined>();
  const newest = useRef(0);
  const shares = sharesOf(clays, hand);
  const key = JSON.stringify(shares);
  const now = shares.length === 0 ? undefined : clays.desk.foretellNow(shares);
  const waits = now === undefined && shares.length > 0;
  useEffect(() => {
    const turn = ++newest.current;
    if (!waits) return;
    clays.desk
      .foretell(JSON.parse(key) as Share[])
      .then((next) => {
        // Drawn at once: whoever moves a piece waits for nothing else.
        if (turn === newest.current) flushSync(() => setCame(next));
      })
      // Said where the clays are opened; a colour that did not come is shown as none.
      .catch(() => setCame(undefined));
  }, [clays, key, waits]);
  if (shares.length === 0) return undefined;
  return now ?? came;
}
