import { type KeyboardEvent, type MouseEvent, useState } from 'react';
import type { Point } from '../../core/photo/plane-view.ts';
import '../look/picture.css';

const STEP = 0.01;
const FAR_STEP = 0.05;

/** The whole photo to be tapped: each tap names the middle of a tile. Arrow keys move a mark, Enter taps. */
export function TapLayer({
  size: { widthPx, heightPx },
  onTap,
}: {
  readonly size: { readonly widthPx: number; readonly heightPx: number };
  readonly onTap: (at: Point) => void;
}) {
  const [mark, setMark] = useState({ x: 0.5, y: 0.5, seen: false });
  const onClick = (event: MouseEvent<HTMLElement>) => {
    // A press by a key comes as a click without a place, and is taken at the mark.
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
      aria-label="The photo. Tap the middle of a tile; arrow keys move the mark, with Shift farther, Enter taps."
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
