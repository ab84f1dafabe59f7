import './pieces.css';
import { type KeyboardEvent, useState } from 'react';
import { Button } from 'react-aria-components';
import { PieceBar } from './piece-bar.tsx';
import { countInWords, type PieceGroup } from './piece-group.ts';

/**
 * A recipe as equal rectangles, one a part, grouped by clay, with count and name under each group.
 * With `onChange` the pieces are the control: a press on a group or its count shows − and +, a drag or
 * the arrow keys add and take away.
 */
export function Pieces({
  groups,
  size = 'bench',
  onChange,
  most = 99,
}: {
  readonly groups: readonly PieceGroup[];
  readonly size?: 'bench' | 'card';
  /** Called with the id of a clay and its new parts. A clay with 0 parts keeps its place. */
  readonly onChange?: (id: string, parts: number) => void;
  /** Most parts of one clay. */
  readonly most?: number;
}) {
  const [chosen, setChosen] = useState<string | undefined>();
  const open = groups.some(({ id }) => id === chosen) ? chosen : groups[0]?.id;
  // Each name has the room of its pieces, or more where it is longer.
  const columns = groups
    .map(({ parts }) => `minmax(max-content, ${Math.max(parts, 0.5)}fr)`)
    .join(' ');
  return (
    <div className="pieces" data-size={size}>
      <PieceBar
        groups={groups}
        most={most}
        {...(onChange === undefined ? {} : { onChange, onChoose: setChosen })}
      />
      <ul className="pieces-words" style={{ gridTemplateColumns: columns }}>
        {groups.map((group) => (
          <li key={group.id} className="pieces-said">
            {onChange === undefined ? (
              <span className="pieces-label">
                <GroupWords {...group} />
              </span>
            ) : (
              <Count
                group={group}
                most={most}
                onChange={onChange}
                onChoose={() => setChosen(group.id)}
              />
            )}
            {onChange === undefined ? null : (
              <PlusMinus
                group={group}
                most={most}
                onChange={onChange}
                shown={group.id === open}
                unasked={chosen === undefined}
              />
            )}
          </li>
        ))}
      </ul>
    </div>
  );
}

/** The room of a row of pieces that is still being worked out. */
export function PiecesComing() {
  return (
    <div className="pieces" aria-hidden="true">
      <div className="pieces-bar">
        <span className="pieces-group pieces-coming" />
      </div>
      <span className="pieces-label">
        <span className="pieces-count">&nbsp;</span>
      </span>
    </div>
  );
}

function GroupWords({ name, parts, lab, amount }: PieceGroup) {
  return (
    <>
      <span className="pieces-count">{countInWords(parts)}</span>{' '}
      <span className="pieces-name">
        {name}
        {lab === undefined ? ', no colour yet' : ''}
      </span>
      {amount === undefined ? null : <span className="pieces-amount"> {amount}</span>}
    </>
  );
}

/** Count and name, moved by the arrow keys like a slider. */
function Count({
  group,
  most,
  onChange,
  onChoose,
}: {
  readonly group: PieceGroup;
  readonly most: number;
  readonly onChange: (id: string, parts: number) => void;
  readonly onChoose: () => void;
}) {
  const { id, name, parts } = group;
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
    onChange(id, Math.min(most, Math.max(0, Math.round(to))));
  };
  return (
    <span
      className="pieces-label"
      role="slider"
      tabIndex={0}
      aria-label={`Parts of ${name}`}
      aria-valuemin={0}
      aria-valuemax={most}
      aria-valuenow={parts}
      aria-valuetext={`${countInWords(parts)} ${parts === 1 ? 'part' : 'parts'}`}
      onClick={onChoose}
      onFocus={onChoose}
      onKeyDown={onKeyDown}
    >
      <GroupWords {...group} />
    </span>
  );
}

function PlusMinus({
  group: { id, name, parts },
  most,
  onChange,
  shown,
  unasked,
}: {
  readonly group: PieceGroup;
  readonly most: number;
  readonly onChange: (id: string, parts: number) => void;
  /** Its group is the chosen one; the others keep their buttons for the keyboard's way back. */
  readonly shown: boolean;
  /** Nobody pressed a group yet: shown only where there is room. */
  readonly unasked: boolean;
}) {
  return (
    <span className="pieces-turn" hidden={!shown} data-unasked={unasked || undefined}>
      <Button
        className="turn"
        aria-label={`Remove one part of ${name}`}
        isDisabled={parts <= 0}
        onPress={() => onChange(id, Math.max(0, parts - 1))}
      >
        −
      </Button>
      <Button
        className="turn"
        aria-label={`Add one part of ${name}`}
        isDisabled={parts >= most}
        onPress={() => onChange(id, Math.min(most, parts + 1))}
      >
        +
      </Button>
    </span>
  );
}
