import './pieces.css';
import { memo, type PointerEvent, useRef } from 'react';
import { isNearBackground } from '../colour/near-background.ts';
import { screenColour, useWiderScreen } from '../colour/screen-colour.ts';
import type { PieceGroup } from './piece-group.ts';

/** For the pointer alone: keys and screen readers use the counts below the row. */
interface Control {
  readonly onChange?: (id: string, parts: number) => void;
  readonly onChoose?: (id: string) => void;
  readonly most?: number;
}

/** Most pieces drawn of one clay; the count says the rest. */
const MOST_DRAWN = 48;

/** The row of pieces alone: words stand elsewhere. */
export function PieceBar({
  groups,
  ...control
}: Control & { readonly groups: readonly PieceGroup[] }) {
  return (
    <span className="pieces-bar" aria-hidden="true">
      {groups.map((group) => (
        <Group key={group.id} {...group} {...control} />
      ))}
    </span>
  );
}

/** Renders only when its own clay changes, so that dragging stays fast. */
const Group = memo(function Group({
  onChange,
  onChoose,
  most = 99,
  ...group
}: Control & PieceGroup) {
  const from = useRef<{ x: number; parts: number; piecePx: number } | undefined>(undefined);
  const { id, parts } = group;
  const drawn = Math.min(MOST_DRAWN, Math.ceil(parts));
  const room = {
    // Gaps first, then every piece gets the same share of what is left.
    flex: `${Math.min(parts, MOST_DRAWN)} 1 calc(var(--within) * ${Math.max(0, drawn - 1)})`,
  };
  const none = parts === 0 ? { 'data-none': true } : { style: room };
  if (onChange === undefined) {
    return (
      <span className="pieces-group" data-now={group.isNow || undefined} {...none}>
        <Rectangles {...group} />
      </span>
    );
  }
  const setParts = (to: number) => {
    const held = Math.min(most, Math.max(0, Math.round(to)));
    if (held !== parts) onChange(id, held);
  };
  const onPointerDown = (event: PointerEvent<HTMLElement>) => {
    if (event.button !== 0) return;
    const { currentTarget, pointerId, clientX } = event;
    currentTarget.setPointerCapture(pointerId);
    const piecePx = currentTarget.clientWidth / Math.max(1, parts);
    from.current = { x: clientX, parts, piecePx: Math.max(16, piecePx) };
    onChoose?.(id);
  };
  const onPointerMove = (event: PointerEvent) => {
    const start = from.current;
    if (start !== undefined) setParts(start.parts + (event.clientX - start.x) / start.piecePx);
  };
  const onPointerUp = () => {
    from.current = undefined;
  };
  return (
    <span
      className="pieces-group"
      data-moves
      {...none}
      onPointerDown={onPointerDown}
      onPointerMove={onPointerMove}
      onPointerUp={onPointerUp}
      onPointerCancel={onPointerUp}
    >
      <Rectangles {...group} />
    </span>
  );
});

function Rectangles({ lab, parts, was }: PieceGroup) {
  useWiderScreen();
  const drawn = Math.min(MOST_DRAWN, Math.ceil(parts));
  const rest = parts > MOST_DRAWN ? 0 : parts - Math.floor(parts);
  const look = lab === undefined ? 'piece no-colour' : 'piece';
  const colour = lab === undefined ? {} : { background: screenColour(lab).css };
  const like = lab === undefined ? undefined : isNearBackground(lab);
  return Array.from({ length: drawn }, (_, i) => (
    <span
      // biome-ignore lint/suspicious/noArrayIndexKey: pieces of one clay are alike
      key={i}
      className={look}
      style={{ ...colour, ...(rest > 0.01 && i === drawn - 1 ? { flexGrow: rest } : {}) }}
      data-like={like}
      data-added={(was !== undefined && i >= was) || undefined}
    />
  ));
}
