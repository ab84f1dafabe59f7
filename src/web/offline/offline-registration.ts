import { useSyncExternalStore } from 'react';
import { KEPT_HEADER } from '../../api/saved-answer.ts';
import { connectionNow } from '../book/connection.ts';
import { queries } from '../book/queries.ts';
import { BOOKS, NOTHING } from './cache-names.ts';
import { cacheResponse } from './cache-responses.ts';

/** Whether this page opens here when the program does not run. */
export type Backups =
  | 'kept'
  | 'on its way'
  /** She said no. */
  | 'off'
  /** A browser keeps pages only of its own machine, or over https. */
  | 'not a safe address'
  | 'not this browser';

let keeping: Backups = 'on its way';
const hearers = new Set<() => void>();

function setKeeping(next: Backups): void {
  keeping = next;
  for (const hear of hearers) hear();
}

export function useBackups(): Backups {
  return useSyncExternalStore(
    (hear) => {
      hearers.add(hear);
      return () => hearers.delete(hear);
    },
    () => keeping,
  );
}

/** Keeps the page and what was seen of the book on this device, unless she said no. */
export async function enableOffline(): Promise<void> {
  if (!globalThis.isSecureContext) return setKeeping('not a safe address');
  if (!('serviceWorker' in navigator)) return setKeeping('not this browser');
  if (await caches.has(NOTHING)) return setKeeping('off');
  const { serviceWorker } = navigator;
  try {
    if (serviceWorker.controller === null) {
      const taken = new Promise<void>((resolve) => {
        serviceWorker.addEventListener('controllerchange', () => resolve(), { once: true });
      });
      await serviceWorker.register('/service-worker.js', { updateViaCache: 'none' });
      await taken;
      // What was fetched before the worker stood between was not laid by.
      if (connectionNow().state === 'open') await fetchAnew();
    } else {
      await serviceWorker.register('/service-worker.js', { updateViaCache: 'none' });
    }
    setKeeping('kept');
    if (connectionNow().state === 'open') await cacheResponse();
  } catch {
    // Private windows and full disks refuse; the page works all the same while the program runs.
    if (keeping !== 'kept') setKeeping('not this browser');
  }
}

/** One after the other, so that a hand at work is not kept waiting by all of them at once. */
async function fetchAnew(): Promise<void> {
  const ofBook = ({ queryKey: [first] }: { queryKey: readonly unknown[] }) => first !== 'clays';
  await queries.invalidateQueries({ predicate: ofBook, refetchType: 'none' });
  const inSight = queries.getQueryCache().findAll({ predicate: ofBook, type: 'active' });
  for (const { queryKey } of inSight) await queries.refetchQueries({ queryKey, exact: true });
}

/** Forgets the page and the book on this device, and keeps nothing until she says so again. */
export async function clearOfflineCopy(): Promise<void> {
  // Pages still open have the worker until they close; it looks for this.
  await caches.open(NOTHING);
  setKeeping('off');
  const registered = await navigator.serviceWorker.getRegistrations();
  await Promise.all(registered.map((one) => one.unregister()));
  const names = (await caches.keys()).filter((name) => name !== NOTHING);
  await Promise.all(names.map((name) => caches.delete(name)));
}

export async function saveAgain(): Promise<void> {
  await caches.delete(NOTHING);
  setKeeping('on its way');
  await enableOffline();
}

/** Instant at which something of the book was last laid by. */
export async function lastCachedAt(): Promise<string | undefined> {
  const name = (await caches.keys()).find((one) => one.startsWith(BOOKS));
  if (name === undefined) return undefined;
  const cache = await caches.open(name);
  const newest = (await cache.keys()).at(-1);
  return (newest && (await cache.match(newest)))?.headers.get(KEPT_HEADER) ?? undefined;
}
