import { useEffect, useMemo, useRef, useState } from 'react';
import { flushSync } from 'react-dom';
import type { OpenClays } from '../book/clays.ts';
import { type Heard, useAsked } from '../book/use-asked.ts';
import type { FindAsk, FoundSoFar, Prediction, Share } from '../workers/messages.ts';
import type { Hand } from './use-hand.ts';

/** Found so far, of the request before until the first answer to this one comes. */
export type Finding = Omit<Heard<FoundSoFar>, 'latest'> & {
  readonly found: FoundSoFar | undefined;
};

const notYet = (): never => {
  throw new Error('Nothing is asked before the clays are open.');
};

/** Searches whenever the request changes, at once if it had not changed for a while. */
export function useFind(clays: OpenClays | undefined, ask: FindAsk | undefined): Finding {
  const heard = useAsked<FindAsk, FoundSoFar>(ask, clays?.worker.find ?? notYet);
  return useMemo(() => {
    const { latest: found, ...rest } = heard;
    return { found, ...rest };
  }, [heard]);
}

const NO_SHARES: readonly Share[] = [];

/** The shares of a recipe: its clays with more than 0 parts. */
export function sharesOfHand(clays: OpenClays, hand: Hand): readonly Share[] {
  return hand.flatMap(({ blockId, parts }) => {
    const block = clays.byBlock.get(blockId);
    return block === undefined || parts <= 0 ? [] : [{ clay: block.clay, parts }];
  });
}

/**
 * Predicts the recipe in hand: within the same rendering where the clays are loaded here, else as soon as
 * the worker answers. An outdated answer is never shown.
 */
export function usePrediction(clays: OpenClays | undefined, hand: Hand): Prediction | undefined {
  const [came, setCame] = useState<Prediction | undefined>();
  const newest = useRef(0);
  const shares = clays === undefined ? NO_SHARES : sharesOfHand(clays, hand);
  const key = JSON.stringify(shares);
  const now = shares.length === 0 ? undefined : clays?.worker.predictNow(shares);
  const waits = now === undefined && shares.length > 0;
  useEffect(() => {
    const turn = ++newest.current;
    // Nothing is asked: an answer to what was asked before must not come back later.
    if (key === '[]') setCame(undefined);
    if (clays === undefined || !waits) return;
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
