import { type KeyboardEvent, type MouseEvent, useState } from 'react';
import type { Point } from '../../core/photo/plane-view.ts';
import '../look/picture.css';

const STEP = 0.01;
const FAR_STEP = 0.05;

/** The photo to tap: each tap marks the middle of a tile. Arrow keys move the mark, Enter taps. */
export function TapLayer({
  size: { widthPx, heightPx },
  onTap,
}: {
  readonly size: { readonly widthPx: number; readonly heightPx: number };
  readonly onTap: (at: Point) => void;
}) {
  const [mark, setMark] = useState({ x: 0.5, y: 0.5, seen: false });
  const onClick = (event: MouseEvent<HTMLElement>) => {
    // A key press comes as a click without a position, so the position of the mark is used.
    if (event.detail === 0) return onTap([mark.x * widthPx, mark.y * heightPx]);
    const box = event.currentTarget.getBoundingClientRect();
    onTap([
      ((event.clientX - box.left) / box.width) * widthPx,
      ((event.clientY - box.top) / box.height) * heightPx,
    ]);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[
      event.key
    ];
    if (way === undefined) return;
    event.preventDefault();
    const step = event.shiftKey ? FAR_STEP : STEP;
    const held = (v: number) => Math.min(1, Math.max(0, v));
    setMark({ x: held(mark.x + way[0] * step), y: held(mark.y + way[1] * step), seen: true });
  };
  return (
    <button
      type="button"
      className="tap-layer"
      aria-label="Photo. Tap the middle of a tile, or move the mark with the arrow keys (faster with Shift) and press Enter."
      onClick={onClick}
      onKeyDown={onKeyDown}
    >
      {mark.seen ? (
        <span
          className="picture-mark"
          style={{ left: `${100 * mark.x}%`, top: `${100 * mark.y}%` }}
        />
      ) : null}
    </button>
  );
}
