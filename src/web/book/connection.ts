import { useSyncExternalStore } from 'react';

/** Whether the book answers the page just now. */
export interface Connection {
  readonly state: 'open' | 'waiting' | 'shut';
  /** Instant of the oldest shown answer that came from the offline copy. */
  readonly cachedAt?: string;
}

let connection: Connection = { state: 'open' };
const listeners = new Set<() => void>();

export function connectionNow(): Connection {
  return connection;
}

export function setConnection(next: Connection): void {
  if (next.state === connection.state && next.cachedAt === connection.cachedAt) return;
  connection = next;
  for (const listener of listeners) listener();
}

export function useConnection(): Connection {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => connection,
  );
}
