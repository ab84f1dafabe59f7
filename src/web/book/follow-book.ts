import { followEvents } from '../../client/event-stream.ts';
import { client, onOtherBook } from './client.ts';
import { connectionNow, setConnection } from './connection.ts';
import { showNotice } from './notice.ts';
import { BOOK_DEPENDENT_KEYS, queries } from './queries.ts';

/** Wait before the book is asked again after an answer from the offline copy. */
const ASK_AGAIN_MS = 2000;

/**
 * Keeps the page up to date: fetches again what another page, device or program changed, as soon as the
 * book reports it.
 * Returns: a function that stops it
 */
export function followBook(): () => void {
  let end = follow();
  // The browser may keep a page for the back button with its connection open, and allows six for one
  // address: after a few such pages the next one would wait for ever.
  const onLeft = () => end();
  const onBack = ({ persisted }: PageTransitionEvent) => {
    if (!persisted) return;
    end = follow();
    forgetAll();
  };
  window.addEventListener('pagehide', onLeft);
  window.addEventListener('pageshow', onBack);
  return () => {
    window.removeEventListener('pagehide', onLeft);
    window.removeEventListener('pageshow', onBack);
    end();
  };
}

const forget = (key: readonly unknown[]) => void queries.invalidateQueries({ queryKey: key });
/** Opened clays are keyed by what they were opened from, so that they never go out of date. */
const forgetAll = () =>
  void queries.invalidateQueries({ predicate: ({ queryKey: [first] }) => first !== 'clays' });

function follow(): () => void {
  const stop = new AbortController();
  let streaming = false;
  const quiet = onOtherBook(() => {
    showNotice({ text: 'Another book is open at this address now.' });
    void queries.resetQueries();
  });
  // One call may fail while events go on; what the offline copy gave is then fetched again.
  const again = setInterval(() => {
    if (!streaming || connectionNow().cachedAt === undefined) return;
    setConnection({ state: 'open' });
    forgetAll();
  }, ASK_AGAIN_MS);
  followEvents(
    client.options,
    {
      change({ records, many }) {
        if (many === true) return forgetAll();
        for (const kind of new Set(records.map(({ kind }) => kind))) forget(['all', kind]);
        for (const { id } of records) forget(['record', id]);
        for (const key of BOOK_DEPENDENT_KEYS) forget([key]);
      },
      job({ id }) {
        forget(['job', id]);
        forget(['jobs']);
      },
      reset: forgetAll,
      state(state) {
        streaming = state === 'open';
        const before = connectionNow();
        if (!streaming) return setConnection({ ...before, state: 'waiting' });
        setConnection({ state: 'open' });
        // Events are lost while the connection is down.
        if (before.state !== 'open') forgetAll();
      },
    },
    { signal: stop.signal },
  ).catch(() => {
    setConnection({ state: 'shut' });
    // A device that is no longer paired shows nothing of the book; the service worker clears its copy too.
    void queries.resetQueries();
  });
  return () => {
    stop.abort();
    clearInterval(again);
    quiet();
  };
}
