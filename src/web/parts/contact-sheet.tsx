import {
  type KeyboardEvent,
  type ReactNode,
  useCallback,
  useEffect,
  useLayoutEffect,
  useRef,
  useState,
} from 'react';

export interface ContactSheetProps<T> {
  readonly label: string;
  /** All there are, seen or not. */
  readonly count: number;
  /** What stands at a place; absent while it is on its way. */
  readonly itemAt: (index: number) => T | undefined;
  /** A link or button with one tile; `tabIndex` goes onto it. */
  readonly children: (item: T, tabIndex: 0 | -1) => ReactNode;
  /** Asked whenever other places come into sight. */
  readonly onSight?: (from: number, to: number) => void;
  /** What stands first at the beginning, and is reached by Tab; later changes of it change nothing. */
  readonly startAt?: number;
  /** Told what stands first in sight whenever that is another. */
  readonly onPlace?: (index: number) => void;
  /** Least width of a cell, and how much of it stands below the tile. */
  readonly cellPx?: number;
  readonly captionPx?: number;
}

/** Browsers lose precision past about 17 million pixels, and some stop there. */
const TALLEST_PX = 8_000_000;
const SPARE_ROWS = 2;

/**
 * Tiles side by side, as many as there are: only those in sight are drawn. A sheet taller than a
 * browser can scroll is scrolled in proportion. Arrow keys go from tile to tile, Home and End to the
 * first and last; only the tile last reached is in the order of Tab.
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
  captionPx = 52,
}: ContactSheetProps<T>) {
  const frame = useRef<HTMLUListElement>(null);
  const [width, setWidth] = useState(0);
  const [height, setHeight] = useState(0);
  const [scroll, setScroll] = useState(0);
  const [reached, setReached] = useState(startAt);
  const begun = useRef(false);
  const wanted = useRef<number | undefined>(undefined);

  useLayoutEffect(() => {
    const box = frame.current!;
    const measure = () => {
      setWidth(box.clientWidth);
      setHeight(box.clientHeight);
    };
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(box);
    return () => watch.disconnect();
  }, []);

  const columns = Math.max(1, Math.floor(width / cellPx));
  const cell = width / columns;
  const row = cell + captionPx;
  const rows = Math.ceil(count / columns);
  const whole = rows * row;
  const drawn = Math.min(whole, TALLEST_PX);
  // Where the sheet is taller than what is scrolled, one pixel of scrolling is several of the sheet.
  const ratio = drawn > height ? (whole - height) / (drawn - height) : 1;
  const top = scroll * ratio;
  const firstRow = Math.max(0, Math.floor(top / row) - SPARE_ROWS);
  const lastRow = Math.min(rows, Math.ceil((top + height) / row) + SPARE_ROWS);
  const from = firstRow * columns;
  const to = Math.min(count, lastRow * columns);

  useEffect(() => {
    if (width > 0) onSight?.(from, to);
  }, [onSight, from, to, width]);

  const first = Math.min(count - 1, Math.floor(top / row) * columns);
  useLayoutEffect(() => {
    if (width === 0 || height === 0 || count === 0) return;
    if (!begun.current) {
      begun.current = true;
      if (startAt > 0) {
        frame.current!.scrollTop = (Math.floor(startAt / columns) * row) / ratio;
        return;
      }
    }
    onPlace?.(first);
  }, [width, height, count, columns, row, ratio, startAt, first, onPlace]);

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
    const box = frame.current!;
    if (rowTop < top || rowTop + row > top + height) {
      const to = rowTop < top ? rowTop : rowTop + row - height;
      box.scrollTop = to / ratio;
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
          <span className="tile no-colour" />
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
      aria-label={label}
      onKeyDown={onKeyDown}
      onScroll={(event) => setScroll(event.currentTarget.scrollTop)}
      style={{
        margin: 0,
        padding: 0,
        listStyle: 'none',
        // Few tiles want no tall frame.
        ...(width === 0 ? {} : { maxHeight: Math.max(row, whole) }),
      }}
    >
      <li aria-hidden="true" className="contact-inside" style={{ height: drawn }} />
      {cells}
    </ul>
  );
}
