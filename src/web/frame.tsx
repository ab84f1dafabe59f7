import { Link, Outlet, useRouterState } from '@tanstack/react-router';
import { useEffect, useRef, useState } from 'react';
import { redoChange, undoChange } from './book/change.ts';
import { useConnection } from './book/connection.ts';
import { followBook } from './book/follow-book.ts';
import { showNotice, useNotice } from './book/notice.ts';
import { whenInWords } from './book/when-in-words.ts';
import { Button } from './parts/button.tsx';

const PLACES = [
  ['/find', 'Find'],
  ['/book', 'Mix book'],
  ['/tiles', 'Tiles'],
  ['/stock', 'Stock'],
  ['/colour-range', 'Colour range'],
  ['/clay-model', 'Clay model'],
  ['/settings', 'Settings'],
] as const;
/** So many are always shown on a phone; the others are behind *More*. */
const ALWAYS_SHOWN = 4;

/** Whether the screen is one of those behind *More*. */
function isLater(path: string): boolean {
  return PLACES.slice(ALWAYS_SHOWN).some(([to]) => path.startsWith(to));
}

/** The frame of every screen: the menu and the notice line. */
export function Frame() {
  const [more, setMore] = useState(false);
  const path = useRouterState({ select: ({ location }) => location.pathname });
  const main = useRef<HTMLElement>(null);
  const first = useRef(true);

  useEffect(followBook, []);
  useEffect(() => {
    setMore(false);
    // Screen readers start a new screen at its beginning; the first one they read anyway.
    if (!first.current && path !== '') main.current?.focus({ preventScroll: true });
    first.current = false;
    window.scrollTo(0, 0);
  }, [path]);
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const typing = (event.target as HTMLElement).closest('input, textarea, select, dialog');
      if (typing !== null || !(event.ctrlKey || event.metaKey) || event.key !== 'z') return;
      event.preventDefault();
      void undoChange();
    };
    document.addEventListener('keydown', onKey);
    return () => document.removeEventListener('keydown', onKey);
  }, []);

  return (
    <div className="frame">
      <a className="skip" href="#main">
        Skip to content
      </a>
      <header className="rail">
        <Link to="/" className="rail-name serif">
          <Mark />
          Kneadwell
        </Link>
        <nav aria-label="Screens" className="rail-places" data-more={more || undefined}>
          {PLACES.map(([to, words], i) => (
            <Link
              key={to}
              to={to}
              className="rail-place"
              data-later={i >= ALWAYS_SHOWN || undefined}
              activeProps={{ 'aria-current': 'page' }}
            >
              {words}
            </Link>
          ))}
          <button
            type="button"
            className="rail-place rail-more"
            aria-expanded={more}
            aria-current={isLater(path) || undefined}
            onClick={() => setMore(!more)}
          >
            {more ? 'Less' : 'More'}
          </button>
        </nav>
        <ConnectionLine />
      </header>
      <main id="main" ref={main} tabIndex={-1}>
        <Outlet />
      </main>
      <NoticeLine />
    </div>
  );
}

/** As in the icon: three parts of one clay, one of another, and the mix. */
function Mark() {
  return (
    <svg className="rail-mark" viewBox="0 0 40 35" aria-hidden="true">
      <path d="M0 0h8v8H0zM10.7 0h8v8h-8zM21.3 0h8v8h-8z" />
      <path d="M32 0h8v8h-8z" opacity="0.5" />
      <path d="M0 11h40v24H0z" opacity="0.8" />
    </svg>
  );
}

/** A warning while the page may show old data. */
function ConnectionLine() {
  const { state, cachedAt } = useConnection();
  return (
    <div className="rail-connection small" role="status">
      {state === 'open'
        ? null
        : state === 'shut'
          ? 'This device is no longer paired. Pair it again in Settings on the computer.'
          : 'No connection to Kneadwell. You may see old data; nothing saved is lost.'}
      {state === 'waiting' && cachedAt !== undefined
        ? ` Last updated ${whenInWords(cachedAt)}.`
        : null}
    </div>
  );
}

function NoticeLine() {
  const notice = useNotice();
  const line = useRef<HTMLDivElement>(null);
  useEffect(() => {
    // Content at the foot of a screen, and scroll targets, stay clear of the notice.
    const watch = new ResizeObserver(() => {
      document.documentElement.style.setProperty(
        '--notice-height',
        `${line.current?.offsetHeight ?? 0}px`,
      );
    });
    watch.observe(line.current!);
    return () => watch.disconnect();
  }, []);
  return (
    <div className="notice" ref={line} role="status" data-empty={notice === undefined || undefined}>
      {notice === undefined ? null : (
        <>
          <span className="notice-text">{notice.text}</span>
          <span className="actions">
            {notice.undo === undefined ? null : (
              <Button onPress={() => void undoChange(notice.undo)}>Undo</Button>
            )}
            {notice.redo === undefined ? null : (
              <Button onPress={() => void redoChange(notice.redo!)}>Redo</Button>
            )}
            <Button kind="quiet" onPress={() => showNotice(undefined)}>
              Dismiss
            </Button>
          </span>
        </>
      )}
    </div>
  );
}
