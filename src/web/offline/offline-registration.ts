import { useSyncExternalStore } from 'react';
import { KEPT_HEADER } from '../../api/saved-answer.ts';
import { connectionNow } from '../book/connection.ts';
import { idle } from '../book/idle.ts';
import { queries } from '../book/queries.ts';
import { BOOKS, OPTED_OUT } from './cache-names.ts';
import { cacheResponse } from './cache-responses.ts';

/** Whether this page opens here while Kneadwell is not running. */
export type OfflineState =
  | 'saved'
  | 'on its way'
  /** The user removed the offline copy. */
  | 'off'
  /** Browsers save pages only from their own computer, or over https. */
  | 'not a safe address'
  | 'not this browser';

let state: OfflineState = 'on its way';
const listeners = new Set<() => void>();

function setState(next: OfflineState): void {
  state = next;
  for (const listener of listeners) listener();
}

export function useOfflineState(): OfflineState {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => state,
  );
}

/** Saves the page and what was seen of the book on this device, unless the user removed the copy. */
export async function enableOffline(): Promise<void> {
  if (!globalThis.isSecureContext) return setState('not a safe address');
  if (!('serviceWorker' in navigator)) return setState('not this browser');
  if (await caches.has(OPTED_OUT)) return setState('off');
  const { serviceWorker } = navigator;
  try {
    if (serviceWorker.controller === null) {
      const taken = new Promise<void>((resolve) => {
        serviceWorker.addEventListener('controllerchange', () => resolve(), { once: true });
      });
      await serviceWorker.register('/service-worker.js', { updateViaCache: 'none' });
      await taken;
      // Answers fetched before the worker was active are not cached yet.
      if (connectionNow().state === 'open') await fetchAgain();
    } else {
      await serviceWorker.register('/service-worker.js', { updateViaCache: 'none' });
    }
    setState('saved');
    if (connectionNow().state === 'open') await cacheResponse();
  } catch {
    // Private windows and full disks refuse; the page still works while Kneadwell is running.
    if (state !== 'saved') setState('not this browser');
  }
}

/** One after the other, so that the user does not wait behind all of them at once. */
async function fetchAgain(): Promise<void> {
  const ofBook = ({ queryKey: [first] }: { queryKey: readonly unknown[] }) => first !== 'clays';
  await queries.invalidateQueries({ predicate: ofBook, refetchType: 'none' });
  const inSight = queries.getQueryCache().findAll({ predicate: ofBook, type: 'active' });
  for (const { queryKey } of inSight) {
    await idle();
    await queries.refetchQueries({ queryKey, exact: true });
  }
}

/** Removes the offline copy from this device, and saves none until the user asks for it. */
export async function clearOfflineCopy(): Promise<void> {
  // Open pages use the worker until they close; it checks for this cache.
  await caches.open(OPTED_OUT);
  setState('off');
  const registered = await navigator.serviceWorker.getRegistrations();
  await Promise.all(registered.map((one) => one.unregister()));
  const names = (await caches.keys()).filter((name) => name !== OPTED_OUT);
  await Promise.all(names.map((name) => caches.delete(name)));
}

export async function saveAgain(): Promise<void> {
  await caches.delete(OPTED_OUT);
  setState('on its way');
  await enableOffline();
}

/** Instant at which an answer of the book was last cached. */
export async function lastCachedAt(): Promise<string | undefined> {
  const name = (await caches.keys()).find((one) => one.startsWith(BOOKS));
  if (name === undefined) return undefined;
  const cache = await caches.open(name);
  const newest = (await cache.keys()).at(-1);
  return (newest && (await cache.match(newest)))?.headers.get(KEPT_HEADER) ?? undefined;
}
