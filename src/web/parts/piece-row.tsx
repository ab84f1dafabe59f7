import { type KeyboardEvent, memo, type PointerEvent, useRef } from 'react';
import { Button } from 'react-aria-components';
import type { Lab } from '../../core/colour/triples.ts';
import { isNearBackground } from '../colour/near-background.ts';
import { screenColour, useWiderScreen } from '../colour/screen-colour.ts';

/** One clay's pieces in a recipe. */
export interface Pieces {
  readonly id: string;
  readonly name: string;
  readonly lab: Lab | undefined;
  readonly parts: number;
  /** The weight of the parts, in words. */
  readonly amount?: string | undefined;
}

export interface PieceRowProps {
  readonly groups: readonly Pieces[];
  readonly size?: 'small' | 'middle' | 'large';
  /** Makes the pieces editable. A clay with 0 parts stays in the row. */
  readonly onChange?: (id: string, parts: number) => void;
  /** Most parts of one clay. */
  readonly most?: number;
}

/** Most squares drawn of one clay; the count says the rest. */
const MOST_DRAWN = 48;
/** Pointer movement per piece. */
const DRAG_PX = 26;

/** A recipe as equal squares, one per part, grouped by clay, with the count under each group. */
export function PieceRow({ groups, size = 'middle', onChange, most = 99 }: PieceRowProps) {
  return (
    <ul className="pieces" data-size={size}>
      {groups.map((group) => (
        <PieceGroup key={group.id} {...group} most={most} onChange={onChange} />
      ))}
    </ul>
  );
}

/** Renders only when its own clay changes, so that dragging stays fast. */
const PieceGroup = memo(function PieceGroup({
  most,
  onChange,
  ...group
}: Pieces & { readonly most: number; readonly onChange: PieceRowProps['onChange'] | undefined }) {
  return (
    <li className="pieces-group">
      {onChange === undefined ? (
        <span className="pieces-squares" aria-hidden="true">
          <Squares {...group} />
        </span>
      ) : (
        <EditableSquares group={group} most={most} onChange={onChange} />
      )}
      <span className="pieces-label">
        <span className="pieces-count">{countInWords(group.parts)}</span> {group.name}
        {group.lab === undefined ? <span className="pieces-unknown">, no colour yet</span> : null}
        {group.amount === undefined ? null : <span className="pieces-amount">{group.amount}</span>}
      </span>
    </li>
  );
});

/** Parts in words: `3`, `½`, `0.16`. */
function countInWords(parts: number): string {
  const whole = Math.floor(parts);
  const rest = parts - whole;
  const fraction = { 0.25: '¼', 0.5: '½', 0.75: '¾' }[rest];
  if (rest === 0) return String(whole);
  if (fraction !== undefined) return whole === 0 ? fraction : `${whole}${fraction}`;
  return String(Number(parts.toFixed(2)));
}

function Squares({ lab, parts }: Pieces) {
  useWiderScreen();
  const whole = Math.min(MOST_DRAWN, Math.floor(parts));
  const rest = parts > MOST_DRAWN ? 0 : parts - whole;
  const colour = lab === undefined ? {} : { background: screenColour(lab).css };
  const look = lab === undefined ? 'piece no-colour' : 'piece';
  const like = lab === undefined ? undefined : isNearBackground(lab);
  return (
    <>
      {Array.from({ length: whole }, (_, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: pieces of one clay are alike
        <span key={i} className={look} style={colour} data-like={like} />
      ))}
      {rest > 0.01 ? (
        <span
          className={look}
          style={{ ...colour, width: `calc(var(--piece) * ${rest})` }}
          data-like={like}
        />
      ) : null}
      {parts > MOST_DRAWN ? <span className="small">…</span> : null}
    </>
  );
}

function EditableSquares({
  group,
  most,
  onChange,
}: {
  group: Pieces;
  most: number;
  onChange: (id: string, parts: number) => void;
}) {
  const { id, name, parts } = group;
  const from = useRef<{ x: number; parts: number } | undefined>(undefined);
  const setParts = (to: number) => {
    const held = Math.min(most, Math.max(0, Math.round(to)));
    if (held !== parts) onChange(id, held);
  };
  const keys: Readonly<Record<string, number>> = {
    ArrowRight: parts + 1,
    ArrowUp: parts + 1,
    ArrowLeft: parts - 1,
    ArrowDown: parts - 1,
    PageUp: parts + 5,
    PageDown: parts - 5,
    Home: 0,
    End: most,
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const to = keys[event.key];
    if (to === undefined) return;
    event.preventDefault();
    setParts(to);
  };
  const onPointerDown = (event: PointerEvent<HTMLElement>) => {
    if (event.button !== 0) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    from.current = { x: event.clientX, parts };
  };
  const onPointerMove = (event: PointerEvent) => {
    const start = from.current;
    if (start !== undefined) setParts(start.parts + (event.clientX - start.x) / DRAG_PX);
  };
  const onPointerUp = () => {
    from.current = undefined;
  };
  return (
    <>
      <span
        className="pieces-squares"
        role="slider"
        tabIndex={0}
        aria-label={`Parts of ${name}`}
        aria-valuemin={0}
        aria-valuemax={most}
        aria-valuenow={parts}
        aria-valuetext={`${countInWords(parts)} ${parts === 1 ? 'part' : 'parts'}`}
        onKeyDown={onKeyDown}
        onPointerDown={onPointerDown}
        onPointerMove={onPointerMove}
        onPointerUp={onPointerUp}
        onPointerCancel={onPointerUp}
      >
        <Squares {...group} />
        {parts === 0 ? <span className="soft small">none</span> : null}
      </span>
      <span className="pieces-turn">
        <Button
          className="turn"
          aria-label={`Remove one part of ${name}`}
          isDisabled={parts <= 0}
          onPress={() => setParts(parts - 1)}
        >
          −
        </Button>
        <Button
          className="turn"
          aria-label={`Add one part of ${name}`}
          isDisabled={parts >= most}
          onPress={() => setParts(parts + 1)}
        >
          +
        </Button>
      </span>
    </>
  );
}
