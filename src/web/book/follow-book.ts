import { followEvents } from '../../client/event-stream.ts';
import { client, onOtherBook } from './client.ts';
import { connectionNow, setConnection } from './connection.ts';
import { showNotice } from './notice.ts';
import { HANG_ON_BOOK, queries } from './queries.ts';

/** So long after an answer that was not the book's own it is asked again. */
const ASK_AGAIN_MS = 2000;

/**
 * Keeps what the page holds true to the book: whatever another page, device or program changes is
 * fetched anew as soon as it is told of. The answer stops it.
 */
export function followBook(): () => void {
  let end = follow();
  // A page that is left may be laid by for the back button with its connection still held, and a browser
  // has six to one address: after a few of them the next page would wait for ever.
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
/** Opened clays are named by what they were opened from, and never grow old. */
const forgetAll = () =>
  void queries.invalidateQueries({ predicate: ({ queryKey: [first] }) => first !== 'clays' });

function follow(): () => void {
  const stop = new AbortController();
  let streaming = false;
  const quiet = onOtherBook(() => {
    showNotice({ text: 'Another book is open at this address now.' });
    void queries.resetQueries();
  });
  // One call may fail where the events go on; what was shown in its place is asked for again.
  const again = setInterval(() => {
    if (!streaming || connectionNow().keptAt === undefined) return;
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
        for (const key of HANG_ON_BOOK) forget([key]);
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
        // What happened while nobody listened may never be told.
        if (before.state !== 'open') forgetAll();
      },
    },
    { signal: stop.signal },
  ).catch(() => {
    setConnection({ state: 'shut' });
    // Nothing of a book is shown to one who may not look into it; the worker forgets it as well.
    void queries.resetQueries();
  });
  return () => {
    stop.abort();
    clearInterval(again);
    quiet();
  };
}
