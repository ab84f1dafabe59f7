import { API_PREFIX } from '../../api/paths.ts';
import { bookAnswer, isCachedCall, tidyBooks } from './book-answers.ts';
import { cacheShell, dropOldShells, type Shell, shellAnswer } from './shell-answers.ts';
import type { WorkerScope } from './worker-scope.ts';

/** The files of this build and a hash over them, inserted by the build (vite.config.mjs). */
declare const __SHELL__: Shell;

/**
 * Opens the page while Kneadwell is not running, and shows what was last seen of the book. While Kneadwell
 * answers, no cached answer is used.
 */
const scope = self as unknown as WorkerScope;

scope.addEventListener('install', (event) => {
  event.waitUntil(cacheShell(caches, __SHELL__).then(() => scope.skipWaiting()));
});

scope.addEventListener('activate', (event) => {
  event.waitUntil(
    Promise.all([dropOldShells(caches, __SHELL__), tidyBooks(caches), scope.clients.claim()]),
  );
});

scope.addEventListener('fetch', (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== 'GET' || origin !== scope.location.origin) return;
  if (!pathname.startsWith('/api')) {
    event.respondWith(shellAnswer(caches, request));
  } else if (isCachedCall(pathname.slice(API_PREFIX.length))) {
    event.respondWith(bookAnswer(caches, request, (work) => event.waitUntil(work)));
  }
});
