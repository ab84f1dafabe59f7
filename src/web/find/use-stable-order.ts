import { type FocusEvent, useCallback, useMemo, useRef, useState } from 'react';

export interface StableOrder<T> {
  readonly shown: T;
  /** Something newer waits until the pointer leaves or the user asks for it. */
  readonly waits: boolean;
  readonly catchUp: () => void;
  /** For the element whose content stays still under the pointer or the focus. */
  readonly holders: {
    readonly onPointerEnter: () => void;
    readonly onPointerLeave: () => void;
    readonly onFocus: () => void;
    readonly onBlur: (event: FocusEvent) => void;
  };
}

/**
 * Keeps a growing list still while the user is about to press something in it: under the pointer, or with
 * the focus in it. The answer to another `question` is shown at once. What stays the same stays the same
 * object, so that nothing is drawn again for it.
 */
export function useStableOrder<T>(next: T, question: string, same: (one: T, other: T) => boolean) {
  const [held, setHeld] = useState(false);
  const [, setTurn] = useState(0);
  const at = useRef({ value: next, question });
  const waits = held && at.current.question === question && !same(at.current.value, next);
  if (!waits && (at.current.question !== question || !same(at.current.value, next))) {
    at.current = { value: next, question };
  }
  const shown = at.current.value;
  const newest = useRef(next);
  newest.current = next;
  const catchUp = useCallback(() => {
    at.current = { ...at.current, value: newest.current };
    setTurn((turn) => turn + 1);
  }, []);
  const holders = useMemo(
    () => ({
      onPointerEnter: () => setHeld(true),
      onPointerLeave: () => setHeld(false),
      onFocus: () => setHeld(true),
      onBlur: ({ currentTarget, relatedTarget }: FocusEvent) => {
        if (!currentTarget.contains(relatedTarget as Node | null)) setHeld(false);
      },
    }),
    [],
  );
  return { shown, waits, catchUp, holders } satisfies StableOrder<T>;
}
