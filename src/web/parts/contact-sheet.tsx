import {
  type KeyboardEvent,
  type ReactNode,
  useCallback,
  useEffect,
  useLayoutEffect,
  useMemo,
  useRef,
  useState,
  useSyncExternalStore,
} from 'react';
import { sheetRows } from './sheet-rows.ts';

export interface ContactSheetProps<T> {
  readonly label: string;
  /** All there are, seen or not. */
  readonly count: number;
  /** The item at a place; absent while it loads. */
  readonly itemAt: (index: number) => T | undefined;
  /** A link or button with one tile; `tabIndex` goes onto it. */
  readonly children: (item: T, tabIndex: 0 | -1) => ReactNode;
  /** Called whenever other places come into sight. */
  readonly onSight?: (from: number, to: number) => void;
  /** The item shown first, which Tab reaches; later changes of it have no effect. */
  readonly startAt?: number;
  /** Called whenever another item is first in sight. */
  readonly onPlace?: (index: number) => void;
  /** Least width of a cell, and the height below the tile. */
  readonly cellPx?: number;
  readonly captionPx?: number;
}

const PHONE = '(max-width: 699px)';
/** Three side by side on a phone. */
const PHONE_CELL_PX = 108;

/** On a phone a list scrolls with the page: two things that scroll under one thumb are one too many. */
function useScrollsWithPage(): boolean {
  return useSyncExternalStore(
    (listener) => {
      const query = window.matchMedia(PHONE);
      query.addEventListener('change', listener);
      return () => query.removeEventListener('change', listener);
    },
    () => window.matchMedia(PHONE).matches,
  );
}

/**
 * A grid of tiles of any length: only those in sight are drawn. A grid taller than a browser can scroll
 * is scrolled in proportion. Arrow keys go from tile to tile, Home and End to the first and last; Tab
 * reaches only the tile used last.
 */
export function ContactSheet<T>({
  label,
  count,
  itemAt,
  children,
  onSight,
  startAt = 0,
  onPlace,
  cellPx = 132,
  captionPx = 40,
}: ContactSheetProps<T>) {
  const frame = useRef<HTMLUListElement>(null);
  const [width, setWidth] = useState(0);
  const [height, setHeight] = useState(0);
  const [scroll, setScroll] = useState(0);
  const [reached, setReached] = useState(startAt);
  const wanted = useRef<number | undefined>(undefined);

  const withPage = useScrollsWithPage();
  useLayoutEffect(() => {
    const box = frame.current!;
    const measure = () => {
      setWidth(box.clientWidth);
      setHeight(withPage ? window.innerHeight : box.clientHeight);
    };
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(box);
    if (!withPage) return () => watch.disconnect();
    const onScroll = () => setScroll(Math.max(0, -box.getBoundingClientRect().top));
    onScroll();
    window.addEventListener('scroll', onScroll, { passive: true });
    window.addEventListener('resize', measure);
    return () => {
      watch.disconnect();
      window.removeEventListener('scroll', onScroll);
      window.removeEventListener('resize', measure);
    };
  }, [withPage]);
  const scrollTo = useCallback(
    (to: number) => {
      const box = frame.current!;
      if (withPage)
        window.scrollTo(0, to === 0 ? 0 : window.scrollY + box.getBoundingClientRect().top + to);
      else box.scrollTop = to;
      setScroll(withPage ? Math.max(0, -box.getBoundingClientRect().top) : box.scrollTop);
    },
    [withPage],
  );

  const rows = useMemo(
    () =>
      sheetRows({
        count,
        widthPx: width,
        heightPx: height,
        cellPx: withPage ? Math.min(cellPx, PHONE_CELL_PX) : cellPx,
        captionPx,
      }),
    [count, width, height, cellPx, captionPx, withPage],
  );
  const { columns, cellPx: cell, rowPx: row } = rows;
  const top = rows.topAt(scroll);
  const { from, to } = rows.drawnAt(scroll);

  useEffect(() => {
    if (width > 0) onSight?.(from, to);
  }, [onSight, from, to, width]);

  // The first tile in sight stays in sight when the frame changes its size.
  const laidOut = useRef(rows);
  const place = useRef(startAt);
  const first = rows.firstAt(scroll);
  useLayoutEffect(() => {
    if (width === 0 || height === 0 || count === 0) return;
    const before = laidOut.current;
    laidOut.current = rows;
    if (before.columns !== rows.columns || before.rowPx !== rows.rowPx) {
      scrollTo(rows.scrollTo(place.current));
      return;
    }
    place.current = first;
    onPlace?.(first);
  }, [width, height, count, rows, first, onPlace, scrollTo]);

  const focusWanted = useCallback(() => {
    if (wanted.current === undefined) return;
    const inside = `[data-index="${wanted.current}"] :is(a, button)`;
    const one = frame.current?.querySelector<HTMLElement>(inside);
    if (one === null || one === undefined) return;
    one.focus({ preventScroll: true });
    wanted.current = undefined;
  }, []);
  useEffect(focusWanted);

  const goTo = (index: number) => {
    const held = Math.min(count - 1, Math.max(0, index));
    const rowTop = Math.floor(held / columns) * row;
    if (rowTop < top || rowTop + row > top + height) {
      const to = rowTop < top ? rowTop : rowTop + row - height;
      scrollTo(to / rows.ratio);
    }
    wanted.current = held;
    setReached(held);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const steps: Readonly<Record<string, number>> = {
      ArrowRight: reached + 1,
      ArrowLeft: reached - 1,
      ArrowDown: reached + columns,
      ArrowUp: reached - columns,
      PageDown: reached + columns * Math.max(1, Math.floor(height / row)),
      PageUp: reached - columns * Math.max(1, Math.floor(height / row)),
      Home: 0,
      End: count - 1,
    };
    const next = steps[event.key];
    if (next === undefined || count === 0) return;
    event.preventDefault();
    goTo(next);
  };

  const cells: ReactNode[] = [];
  for (let index = from; index < to; index++) {
    const item = itemAt(index);
    const left = (index % columns) * cell;
    const y = Math.floor(index / columns) * row - top + scroll;
    cells.push(
      <li
        key={index}
        data-index={index}
        className="contact-cell"
        aria-setsize={count}
        aria-posinset={index + 1}
        style={{ width: cell, height: row, transform: `translate(${left}px, ${y}px)` }}
        onFocus={() => setReached(index)}
      >
        {item === undefined ? (
          <span className="tile tile-coming" />
        ) : (
          children(
            item,
            index === Math.min(reached, count - 1) ||
              (from > reached && index === from) ||
              (to <= reached && index === from)
              ? 0
              : -1,
          )
        )}
      </li>,
    );
  }
  return (
    <ul
      ref={frame}
      className="contact"
      data-with-page={withPage || undefined}
      aria-label={label}
      onKeyDown={onKeyDown}
      onScroll={(event) => (withPage ? undefined : setScroll(event.currentTarget.scrollTop))}
      style={{
        margin: 0,
        padding: 0,
        listStyle: 'none',
        // Few tiles need no tall frame.
        ...(width === 0 || withPage ? {} : { maxHeight: Math.max(row, rows.wholePx) }),
        ...(withPage ? { height: rows.drawnPx } : {}),
      }}
    >
      <li aria-hidden="true" className="contact-inside" style={{ height: rows.drawnPx }} />
      {cells}
    </ul>
  );
}
