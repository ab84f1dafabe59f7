import { useCallback, useEffect, useMemo, useRef, useState } from 'react';

/** Parts by block, in the order they are shown; a clay with 0 parts stays listed. */
export type Hand = readonly { readonly blockId: string; readonly parts: number }[];

export interface HandHere {
  /** The recipe in hand; undefined while the closest found is shown. */
  readonly hand: Hand | undefined;
  /** Moves that can be undone. */
  readonly moves: number;
  /** The found recipe the moves started from. */
  readonly from: Hand | undefined;
  readonly show: (recipe: Hand) => void;
  /** `shown` is what the move starts from. */
  readonly setParts: (shown: Hand, blockId: string, parts: number) => void;
  readonly undo: () => void;
  readonly clear: () => void;
}

interface State {
  readonly now: Hand | undefined;
  readonly from: Hand | undefined;
  readonly past: readonly (Hand | undefined)[];
}

/** Changes of one clay in quick succession are one move: a drag, or a key held down. */
const ONE_MOVE_MS = 500;
const NONE: State = { now: undefined, from: undefined, past: [] };

/** The recipe with other parts of one clay, which is added where it was not in it. */
export function withParts(shown: Hand, blockId: string, parts: number): Hand {
  return shown.some((one) => one.blockId === blockId)
    ? shown.map((one) => (one.blockId === blockId ? { ...one, parts } : one))
    : [...shown, { blockId, parts }];
}

/** A recipe changed by hand; each move can be undone, also with Ctrl+Z. */
export function useHand(): HandHere {
  const [state, setState] = useState<State>(NONE);
  const last = useRef({ blockId: '', ms: Number.NEGATIVE_INFINITY });
  const show = useCallback((recipe: Hand) => {
    last.current.blockId = '';
    setState({ now: recipe, from: recipe, past: [] });
  }, []);
  const setParts = useCallback((shown: Hand, blockId: string, parts: number) => {
    const nowMs = performance.now();
    const goesOn = last.current.blockId === blockId && nowMs - last.current.ms < ONE_MOVE_MS;
    last.current = { blockId, ms: nowMs };
    const next = withParts(shown, blockId, parts);
    setState(({ now, from, past }) => ({
      now: next,
      from: from ?? shown,
      past: goesOn && now !== undefined ? past : [...past, now],
    }));
  }, []);
  const undo = useCallback(() => {
    last.current.blockId = '';
    setState((was) =>
      was.past.length === 0
        ? was
        : { now: was.past.at(-1), from: was.from, past: was.past.slice(0, -1) },
    );
  }, []);
  const clear = useCallback(() => setState(NONE), []);
  const { now, from, past } = state;
  const moves = past.length;
  useEffect(() => {
    if (moves === 0) return;
    const onKey = (event: KeyboardEvent) => {
      const typing = (event.target as HTMLElement).closest('input, textarea, select, dialog');
      if (typing !== null || !(event.ctrlKey || event.metaKey) || event.key !== 'z') return;
      // Before the undo of the book: the last thing done was a move by hand.
      event.preventDefault();
      event.stopImmediatePropagation();
      undo();
    };
    document.addEventListener('keydown', onKey, { capture: true });
    return () => document.removeEventListener('keydown', onKey, { capture: true });
  }, [moves, undo]);
  return useMemo(
    () => ({ hand: now, moves, from, show, setParts, undo, clear }),
    [now, moves, from, show, setParts, undo, clear],
  );
}
