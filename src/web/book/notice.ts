import { useSyncExternalStore } from 'react';

/** The one line at the foot of the page: what was just done, and what can be done about it. */
export interface Notice {
  readonly text: string;
  /** Change of the book that can be taken back, or was. */
  readonly undo?: number;
  readonly redo?: number;
}

let told: Notice | undefined;
const hearers = new Set<() => void>();

export function showNotice(next: Notice | undefined): void {
  told = next;
  for (const hear of hearers) hear();
}

export function useNotice(): Notice | undefined {
  return useSyncExternalStore(
    (hear) => {
      hearers.add(hear);
      return () => hearers.delete(hear);
    },
    () => told,
  );
}
