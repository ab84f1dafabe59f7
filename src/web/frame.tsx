import { Link, Outlet, useRouterState } from '@tanstack/react-router';
import { useEffect, useRef, useState } from 'react';
import { redoChange, undoChange } from './book/change.ts';
import { useConnection } from './book/connection.ts';
import { followBook } from './book/follow-book.ts';
import { showNotice, useNotice } from './book/notice.ts';
import { Button } from './parts/button.tsx';

const PLACES = [
  ['/find', 'Find'],
  ['/book', 'Mix book'],
  ['/tiles', 'Tiles'],
  ['/stock', 'Stock'],
  ['/reach', 'GamutScreen'],
  ['/learn', 'Learn'],
  ['/settings', 'Settings'],
] as const;
/** So many stand at the thumb; the others are one press away. */
const AT_THUMB = 4;

/** Whether the screen is one of those behind *More*. */
function isLater(path: string): boolean {
  return PLACES.slice(AT_THUMB).some(([to]) => path.startsWith(to));
}

/** What stands around every screen: its places, and the line that tells what was done. */
export function Frame() {
  const [more, setMore] = useState(false);
  const path = useRouterState({ select: ({ location }) => location.pathname });
  const main = useRef<HTMLElement>(null);
  const first = useRef(true);

  useEffect(followBook, []);
  useEffect(() => {
    setMore(false);
    // A new screen is told to ears from its beginning; the first comes by itself.
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
              data-later={i >= AT_THUMB || undefined}
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

/** As in the icon: three parts of one clay and one of another, and the lump. */
function Mark() {
  return (
    <svg className="rail-mark" viewBox="0 0 40 35" aria-hidden="true">
      <path d="M0 0h8v8H0zM10.7 0h8v8h-8zM21.3 0h8v8h-8z" />
      <path d="M32 0h8v8h-8z" opacity="0.5" />
      <path d="M0 11h40v24H0z" opacity="0.8" />
    </svg>
  );
}

/** Said as long as what is shown may not be what the book says now. */
function ConnectionLine() {
  const { state, keptAt } = useConnection();
  return (
    <div className="rail-touch small" role="status">
      {state === 'open'
        ? null
        : state === 'shut'
          ? 'This device is no longer paired. Pair it again in Settings on the computer.'
          : 'No connection to Kneadwell. You may see old data; nothing saved is lost.'}
      {state === 'waiting' && keptAt !== undefined ? ` Last seen ${whenSeen(keptAt)}.` : null}
    </div>
  );
}

function whenSeen(at: string): string {
  return new Date(at).toLocaleString(undefined, { dateStyle: 'medium', timeStyle: 'short' });
}

function NoticeLine() {
  const told = useNotice();
  const line = useRef<HTMLDivElement>(null);
  useEffect(() => {
    // What sticks to the foot of a screen itself, and what is scrolled to, keeps clear of it.
    const watch = new ResizeObserver(() => {
      document.documentElement.style.setProperty('--told', `${line.current?.offsetHeight ?? 0}px`);
    });
    watch.observe(line.current!);
    return () => watch.disconnect();
  }, []);
  return (
    <div className="told" ref={line} role="status" data-empty={told === undefined || undefined}>
      {told === undefined ? null : (
        <>
          <span className="told-text">{told.text}</span>
          <span className="doings">
            {told.undo === undefined ? null : (
              <Button onPress={() => void undoChange(told.undo)}>Undo</Button>
            )}
            {told.redo === undefined ? null : (
              <Button onPress={() => void redoChange(told.redo!)}>Redo</Button>
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
