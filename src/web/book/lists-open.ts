import { useSyncExternalStore } from 'react';

/**
 * Lists keep their order while the book changes elsewhere. A change made on this page refreshes them, so
 * that a mix just saved appears among the others.
 */
let openings = 0;
const listeners = new Set<() => void>();

export function refreshLists(): void {
  openings++;
  for (const listener of listeners) listener();
}

/** Rises with every refresh of the lists. */
export function useOpenings(): number {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => openings,
  );
}
