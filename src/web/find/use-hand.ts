import { useCallback, useEffect, useMemo, useRef, useState } from 'react';

/** Parts by block, in the order they are shown; nought is a clay laid aside, still in reach. */
export type Hand = readonly { readonly blockId: string; readonly parts: number }[];

export interface HandHere {
  /** What she laid out; undefined while the nearest found is shown. */
  readonly hand: Hand | undefined;
  /** Moves that can be taken back. */
  readonly moves: number;
  /** What she began with: a recipe found. */
  readonly from: Hand | undefined;
  readonly lay: (recipe: Hand) => void;
  /** `shown` is what the move starts from. */
  readonly turn: (shown: Hand, blockId: string, parts: number) => void;
  readonly takeBack: () => void;
  readonly letGo: () => void;
}

interface State {
  readonly now: Hand | undefined;
  readonly from: Hand | undefined;
  readonly past: readonly (Hand | undefined)[];
}

/** Turns of one clay that follow so closely are one move: a drag, or a key held down. */
const ONE_MOVE_MS = 500;
const NONE: State = { now: undefined, from: undefined, past: [] };

/** A hand with other parts of one clay, which is put in where it was not. */
export function turned(shown: Hand, blockId: string, parts: number): Hand {
  return shown.some((one) => one.blockId === blockId)
    ? shown.map((one) => (one.blockId === blockId ? { ...one, parts } : one))
    : [...shown, { blockId, parts }];
}

/** A recipe moved by hand, each move of which can be taken back, with Ctrl+Z too. */
export function useHand(): HandHere {
  const [state, setState] = useState<State>(NONE);
  const last = useRef({ blockId: '', ms: Number.NEGATIVE_INFINITY });
  const lay = useCallback((recipe: Hand) => {
    last.current.blockId = '';
    setState({ now: recipe, from: recipe, past: [] });
  }, []);
  const turn = useCallback((shown: Hand, blockId: string, parts: number) => {
    const nowMs = performance.now();
    const goesOn = last.current.blockId === blockId && nowMs - last.current.ms < ONE_MOVE_MS;
    last.current = { blockId, ms: nowMs };
    const next = turned(shown, blockId, parts);
    setState(({ now, from, past }) => ({
      now: next,
      from: from ?? shown,
      past: goesOn && now !== undefined ? past : [...past, now],
    }));
  }, []);
  const takeBack = useCallback(() => {
    last.current.blockId = '';
    setState((was) =>
      was.past.length === 0
        ? was
        : { now: was.past.at(-1), from: was.from, past: was.past.slice(0, -1) },
    );
  }, []);
  const letGo = useCallback(() => setState(NONE), []);
  const { now, from, past } = state;
  const moves = past.length;
  useEffect(() => {
    if (moves === 0) return;
    const onKey = (event: KeyboardEvent) => {
      const typing = (event.target as HTMLElement).closest('input, textarea, select, dialog');
      if (typing !== null || !(event.ctrlKey || event.metaKey) || event.key !== 'z') return;
      // Before the book's own way back: the last thing she did was a move of the hand.
      event.preventDefault();
      event.stopImmediatePropagation();
      takeBack();
    };
    document.addEventListener('keydown', onKey, { capture: true });
    return () => document.removeEventListener('keydown', onKey, { capture: true });
  }, [moves, takeBack]);
  return useMemo(
    () => ({ hand: now, moves, from, lay, turn, takeBack, letGo }),
    [now, moves, from, lay, turn, takeBack, letGo],
  );
}
