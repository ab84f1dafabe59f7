import { useSyncExternalStore } from 'react';

/**
 * Sheets stay as they were laid out while the book changes elsewhere. What this page changes itself
 * lays them out anew: whoever keeps a mix wants to see it among the others.
 */
let openings = 0;
const hearers = new Set<() => void>();

export function refreshLists(): void {
  openings++;
  for (const hear of hearers) hear();
}

/** Rises with every time that sheets are laid out anew. */
export function useOpenings(): number {
  return useSyncExternalStore(
    (hear) => {
      hearers.add(hear);
      return () => hearers.delete(hear);
    },
    () => openings,
  );
}
