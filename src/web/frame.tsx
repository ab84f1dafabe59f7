import { Link, Outlet, useRouterState } from '@tanstack/react-router';
import { useEffect, useRef } from 'react';
import { redoChange, undoChange } from './book/change.ts';
import { useConnection } from './book/connection.ts';
import { followBook } from './book/follow-book.ts';
import { showNotice, useNotice } from './book/notice.ts';
import { whenInWords } from './book/when-in-words.ts';
import { MARK_PATH } from './look/mark.ts';
import { Button } from './parts/button.tsx';

/** The five places, each with the beginnings of other addresses that belong to it. */
const PLACES = [
  ['/find', 'Find', ['/colour-range', '/even-steps', '/other-clays', '/try', '/mend']],
  ['/book', 'Mix book', ['/share', '/mixing']],
  ['/tiles', 'Tiles', ['/charts', '/clay-model', '/photos']],
  [
    '/stock',
    'Stock',
    ['/bend-tests', '/bake', '/buy-or-mix', '/buying', '/figures', '/new-lot', '/wishes'],
  ],
  ['/settings', 'Settings', []],
] as const;

/** The frame of every screen: the menu and the notice line. */
export function Frame() {
  const path = useRouterState({ select: ({ location }) => location.pathname });
  const main = useRef<HTMLElement>(null);
  const first = useRef(true);

  useEffect(followBook, []);
  useEffect(() => {
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
      <header className="top">
        <Link to="/" className="top-name serif">
          <Mark />
          Kneadwell
        </Link>
        <nav aria-label="Screens" className="places">
          {PLACES.map(([to, words, others]) => (
            <Link
              key={to}
              to={to}
              className="place"
              activeProps={{ 'aria-current': 'page' }}
              {...(others.some((other) => path.startsWith(other)) ? { 'aria-current': true } : {})}
            >
              {words}
            </Link>
          ))}
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

/** A small piece going into the lump; tools/make-icons.ts draws the same. */
function Mark() {
  return (
    <svg className="mark" viewBox="0 0 16 16" aria-hidden="true">
      <path d={MARK_PATH} />
    </svg>
  );
}

/** A warning while the page may show old data. */
function ConnectionLine() {
  const { state, cachedAt } = useConnection();
  return (
    <div className="connection small" role="status">
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
              <Button onPress={() => undoChange(notice.undo)}>Undo</Button>
            )}
            {notice.redo === undefined ? null : (
              <Button onPress={() => redoChange(notice.redo!)}>Redo</Button>
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
