import { useSyncExternalStore } from 'react';

/** Whether the page hears from its book just now. */
export interface Touch {
  readonly state: 'open' | 'waiting' | 'shut';
  /** Oldest of what is shown that the book did not give just now, as an instant. */
  readonly keptAt?: string;
}

let touch: Touch = { state: 'open' };
const hearers = new Set<() => void>();

export function touchNow(): Touch {
  return touch;
}

export function setTouch(next: Touch): void {
  if (next.state === touch.state && next.keptAt === touch.keptAt) return;
  touch = next;
  for (const hear of hearers) hear();
}

export function useTouch(): Touch {
  return useSyncExternalStore(
    (hear) => {
      hearers.add(hear);
      return () => hearers.delete(hear);
    },
    () => touch,
  );
}
