import { useSyncExternalStore } from 'react';

/** The line at the foot of the page: what just happened, with Undo or Redo. */
export interface Notice {
  readonly text: string;
  /** Sequence number of the change to undo. */
  readonly undo?: number;
  readonly redo?: number;
}

let notice: Notice | undefined;
const listeners = new Set<() => void>();

export function showNotice(next: Notice | undefined): void {
  notice = next;
  for (const listener of listeners) listener();
}

export function useNotice(): Notice | undefined {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => notice,
  );
}
