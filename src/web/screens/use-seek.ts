import { useEffect, useMemo, useRef, useState } from 'react';
import type { OpenClays } from '../book/clays.ts';
import type { FoundAnswer } from '../workers/clay-desk.ts';
import type { Foretold, SeekAsk, Share } from '../workers/messages.ts';

export interface Seeking {
  readonly answer: FoundAnswer | undefined;
  readonly fault: Error | undefined;
  readonly stopped: boolean;
  readonly stop: () => void;
}

/** Waits so long after the last change of a question, so that a slider does not start a hundred. */
const PAUSE_MS = 120;

/** Seeks whenever the question changes, and tells what is found as it arrives. */
export function useSeek(clays: OpenClays | undefined, ask: SeekAsk | undefined): Seeking {
  const [answer, setAnswer] = useState<FoundAnswer | undefined>();
  const [fault, setFault] = useState<Error | undefined>();
  const [stopped, setStopped] = useState(false);
  const stop = useRef<() => void>(() => {});
  const key = ask === undefined ? '' : JSON.stringify(ask);
  useEffect(() => {
    setFault(undefined);
    setStopped(false);
    if (clays === undefined || key === '') return setAnswer(undefined);
    const timer = setTimeout(() => {
      stop.current = clays.desk.seek(JSON.parse(key) as SeekAsk, setAnswer, setFault);
    }, PAUSE_MS);
    return () => {
      clearTimeout(timer);
      stop.current();
    };
  }, [clays, key]);
  return useMemo(
    () => ({
      answer,
      fault,
      stopped,
      stop: () => {
        stop.current();
        setStopped(true);
      },
    }),
    [answer, fault, stopped],
  );
}

/** Foretells a recipe as the hand changes it; an answer that is overtaken is never shown. */
export function useForetold(
  clays: OpenClays | undefined,
  parts: readonly Share[],
): Foretold | undefined {
  const [foretold, setForetold] = useState<Foretold | undefined>();
  const newest = useRef(0);
  const key = JSON.stringify(parts.filter((part) => part.parts > 0));
  useEffect(() => {
    const turn = ++newest.current;
    if (clays === undefined || key === '[]') return setForetold(undefined);
    clays.desk
      .foretell(JSON.parse(key) as Share[])
      .then((next) => {
        if (turn === newest.current) setForetold(next);
      })
      // Said where the clays are opened; a colour that did not come is shown as none.
      .catch(() => setForetold(undefined));
  }, [clays, key]);
  return foretold;
}
