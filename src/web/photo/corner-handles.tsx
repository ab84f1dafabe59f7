import { type KeyboardEvent, type PointerEvent, useRef, useState } from 'react';
import { type Corners, mapCorners, type Point } from '../../core/photo/plane-view.ts';

const NAMES = ['top left', 'top right', 'bottom right', 'bottom left'] as const;
/** Step of a corner per key press, as a share of the longer side; larger with Shift. */
const STEP = 0.002;
const FAR_STEP = 0.02;
/** Size of the magnified area, as a share of the longer side. */
const GLASS = 0.08;

/** The four corners of the sheet, moved by dragging or arrow keys; a magnifier shows what is under the finger. */
export function CornerHandles({
  src,
  size,
  corners,
  onMove,
  onRest,
}: {
  /** Address of the small photo. */
  readonly src: string;
  readonly size: { readonly widthPx: number; readonly heightPx: number };
  readonly corners: Corners;
  readonly onMove: (corners: Corners) => void;
  /** Called when a corner is released. */
  readonly onRest: (corners: Corners) => void;
}) {
  const { widthPx, heightPx } = size;
  const [held, setHeld] = useState<number | undefined>();
  const grip = useRef<{ dx: number; dy: number } | undefined>(undefined);
  const newest = useRef(corners);
  newest.current = corners;
  const put = (i: number, [x, y]: Point): Corners => {
    const at: Point = [Math.min(widthPx, Math.max(0, x)), Math.min(heightPx, Math.max(0, y))];
    const next = mapCorners(newest.current, (corner, k) => (k === i ? at : corner));
    newest.current = next;
    onMove(next);
    return next;
  };
  const pixelAt = (event: PointerEvent<HTMLElement>): Point => {
    const box = event.currentTarget.parentElement!.getBoundingClientRect();
    return [
      ((event.clientX - box.left) / box.width) * widthPx,
      ((event.clientY - box.top) / box.height) * heightPx,
    ];
  };
  const onKeyDown = (event: KeyboardEvent, i: number) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[
      event.key
    ];
    if (way === undefined) return;
    event.preventDefault();
    const step = Math.max(widthPx, heightPx) * (event.shiftKey ? FAR_STEP : STEP);
    setHeld(i);
    onRest(put(i, [corners[i][0] + way[0] * step, corners[i][1] + way[1] * step]));
  };
  return (
    <>
      {corners.map(([x, y], i) => (
        <button
          key={NAMES[i]}
          type="button"
          className="corner"
          data-held={held === i || undefined}
          style={{ left: `${(100 * x) / widthPx}%`, top: `${(100 * y) / heightPx}%` }}
          aria-label={`Corner ${i + 1}, ${NAMES[i]} of the sheet, ${share(x, widthPx)} from the left, ${share(y, heightPx)} from the top. Move with the arrow keys, faster with Shift.`}
          onKeyDown={(event) => onKeyDown(event, i)}
          onFocus={() => setHeld(i)}
          onBlur={() => setHeld(undefined)}
          onPointerDown={(event) => {
            if (event.button !== 0) return;
            event.currentTarget.setPointerCapture(event.pointerId);
            const [px, py] = pixelAt(event);
            grip.current = { dx: x - px, dy: y - py };
            setHeld(i);
          }}
          onPointerMove={(event) => {
            if (grip.current === undefined) return;
            const [px, py] = pixelAt(event);
            put(i, [px + grip.current.dx, py + grip.current.dy]);
          }}
          onPointerUp={() => {
            if (grip.current === undefined) return;
            grip.current = undefined;
            onRest(newest.current);
          }}
          onPointerCancel={() => {
            grip.current = undefined;
          }}
        >
          <span aria-hidden="true">{i + 1}</span>
        </button>
      ))}
      {held === undefined ? null : <Glass src={src} size={size} at={corners[held]} />}
    </>
  );
}

/** The area under a corner, magnified, in the half of the photo without the corner. */
function Glass({
  src,
  size: { widthPx, heightPx },
  at: [x, y],
}: {
  src: string;
  size: { readonly widthPx: number; readonly heightPx: number };
  at: Point;
}) {
  const side = GLASS * Math.max(widthPx, heightPx);
  const part = (v: number, whole: number) => (100 * (v - side / 2)) / (whole - side);
  return (
    <span
      className="glass"
      data-side={x < widthPx / 2 ? 'right' : 'left'}
      data-end={y < heightPx / 2 ? 'top' : 'bottom'}
      aria-hidden="true"
      style={{
        backgroundImage: `url("${src}")`,
        backgroundSize: `${(100 * widthPx) / side}% ${(100 * heightPx) / side}%`,
        backgroundPosition: `${part(x, widthPx)}% ${part(y, heightPx)}%`,
      }}
    />
  );
}

/** First corners where no sheet was found. */
export function cornersToBegin(widthPx: number, heightPx: number): Corners {
  const [dx, dy] = [0.12 * widthPx, 0.12 * heightPx];
  return [
    [dx, dy],
    [widthPx - dx, dy],
    [widthPx - dx, heightPx - dy],
    [dx, heightPx - dy],
  ];
}

function share(v: number, whole: number): string {
  return `${Math.round((100 * v) / whole)} %`;
}
