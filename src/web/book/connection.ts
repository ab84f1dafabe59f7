import { useSyncExternalStore } from 'react';

/** Whether the page hears from its book just now. */
export interface Connection {
  readonly state: 'open' | 'waiting' | 'shut';
  /** Oldest of what is shown that the book did not give just now, as an instant. */
  readonly keptAt?: string;
}

let touch: Connection = { state: 'open' };
const hearers = new Set<() => void>();

export function connectionNow(): Connection {
  return touch;
}

export function setConnection(next: Connection): void {
  if (next.state === touch.state && next.keptAt === touch.keptAt) return;
  touch = next;
  for (const hear of hearers) hear();
}

export function useConnection(): Connection {
  return useSyncExternalStore(
    (hear) => {
      hearers.add(hear);
      return () => hearers.delete(hear);
    },
    () => touch,
  );
}
