import { memo, useRef, useState } from 'react';
import { inARow } from '../../core/in-a-row.ts';
import { plusMinusOf } from '../../core/verdict/verdict.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Field } from '../parts/field.tsx';
import { FigureRow } from '../parts/figure-row.tsx';
import { Tick } from '../parts/tick.tsx';
import { Tile, Unshown } from '../parts/tile.tsx';
import { readAgain } from './ask-reading.ts';
import { CutOut, insideOf, previewOf } from './cut-out.tsx';
import type { Target } from './match-code.ts';
import type { NameSeen } from './name-watch.tsx';
import { doubtsOf, type PhotoRow } from './photo-rows.ts';
import { changePhoto, photoSessionNow, type State, sayOfRow } from './photo-session-store.ts';

/** One tile of the photo: its picture beside its colour and the colour of its name, and what it is. */
export const TileRow = memo(function TileRow({
  row,
  text,
  state,
  take,
  sure,
  target,
  isPending,
  seen,
  severalTrays,
  doubts,
  isOpen,
  onLook,
}: {
  readonly row: PhotoRow;
  readonly text: string;
  readonly state: State;
  readonly take: boolean;
  readonly sure: boolean;
  readonly target: Target;
  readonly isPending: boolean;
  /** The colour that the name stands for. */
  readonly seen: NameSeen | undefined;
  readonly severalTrays: boolean;
  /** Why the colour should be checked, in short. */
  readonly doubts: string;
  /** Accept was pressed, but the tile has no name yet. */
  readonly isOpen: boolean;
  /** The user looks at this tile. */
  readonly onLook: (key: string) => void;
}) {
  const { key, name, shots, reading } = row;
  const [{ photoResult, tile, draftId }] = shots;
  const called = severalTrays ? `tile ${name} of tray ${row.tray}` : `tile ${name}`;
  const { lab } = reading;
  const [isWide, setWide] = useState(false);
  const field = useRef<HTMLDivElement>(null);
  const asks = take && !sure && seen?.isDoubtful === true;
  return (
    <li
      className="tile-row"
      data-left={!take || undefined}
      data-asks={asks || undefined}
      data-row={name}
      onFocus={() => onLook(key)}
    >
      <div className="tile-row-number">
        <Button kind="quiet" aria-expanded={isWide} onPress={() => setWide(!isWide)}>
          {severalTrays ? `${row.tray}/${name}` : name}
          <span className="unseen"> Details of {called}</span>
        </Button>
      </div>
      <div className="tile-row-pair" data-three={seen === undefined ? undefined : true}>
        <CutOut
          src={previewOf(draftId)}
          size={photoResult}
          middle={tile.centre}
          side={insideOf(tile.outline, tile.centre)}
          label={`Photo of ${called}`}
        />
        <Tile lab={lab} name={`Colour of ${called}`} />
        {seen === undefined ? null : <Tile lab={seen.lab} name={`Colour of ${text}`} />}
      </div>
      <div className="tile-row-words" ref={field}>
        {take ? (
          <Field
            label={`Code of ${called}`}
            value={text}
            onChange={(next) => sayOfRow(key, { text: next })}
            placeholder="Code, name or recipe"
            no={isOpen ? 'Type what this tile is, or leave it out.' : undefined}
          />
        ) : null}
      </div>
      <Tick isSelected={take} onChange={(on) => sayOfRow(key, { take: on })}>
        <span className="unseen">Use {called}</span>
      </Tick>
      <div className="tile-row-also">
        <Doubts worth={row.worth} doubts={doubts} take={take} />
        <Unshown lab={lab} />
        {take && text.trim() !== '' ? (
          <Means target={target} isPending={isPending} state={state} row={row} text={text} />
        ) : null}
      </div>
      {asks ? (
        <div className="tile-row-asks">
          <p>
            This is {Math.round(seen.dE00)} away from {text}. Is it the right tile?
          </p>
          <div className="actions">
            <Button onPress={() => sayOfRow(key, { sure: text })}>Yes</Button>
            <Button onPress={() => field.current?.querySelector('input')?.select()}>Change</Button>
            <Button onPress={() => sayOfRow(key, { take: false })}>Leave out</Button>
          </div>
        </div>
      ) : null}
      {isWide ? <RowDetails row={row} called={called} state={state} /> : null}
    </li>
  );
});

/** In short why a colour should be checked, and that a tile is left out. */
function Doubts({
  worth,
  doubts,
  take,
}: Pick<PhotoRow, 'worth'> & { readonly doubts: string; readonly take: boolean }) {
  if (take && doubts === '' && worth > 0) return null;
  const head = !take ? 'Left out' : worth === 0 ? 'Better left out' : 'Check';
  return <p className="small tile-row-doubt">{doubts === '' ? head : `${head}: ${doubts}`}</p>;
}

function RowDetails({
  row,
  called,
  state,
}: {
  readonly row: PhotoRow;
  readonly called: string;
  readonly state: State;
}) {
  const {
    reading: { lab, covariance, photos },
    shots: [{ tile }],
    key,
  } = row;
  return (
    <div className="tile-row-details">
      <p className="small">{spokenColour(lab)}</p>
      {doubtsOf(row).map((doubt) => (
        <p key={doubt} className="small">
          Check this: {doubt}.
        </p>
      ))}
      <div className="actions tile-row-actions">
        <Choice<State>
          label={`State of ${called}`}
          value={state}
          onChange={(next) => sayOfRow(key, { state: next })}
          options={[
            ['baked', 'Baked'],
            ['raw', 'Raw'],
          ]}
        />
        {row.tapped ? (
          <Button kind="quiet" onPress={() => untap(row)}>
            Remove this point
          </Button>
        ) : null}
      </div>
      <table className="figures">
        <tbody>
          <FigureRow
            name="L* a* b*"
            value={lab.map((v) => v.toFixed(1)).join('  ')}
            unit="D50, 2°"
          />
          <FigureRow
            name="Uncertainty"
            value={`± ${plusMinusOf(lab, covariance).toFixed(1)}`}
            unit="dE00"
          />
          <FigureRow name="Own spread" value={`± ${tile.spread.toFixed(2)}`} unit="per axis" />
          <FigureRow name="Photos" value={String(photos)} unit="" />
        </tbody>
      </table>
    </div>
  );
}

/** What the text of a row means, and what else it might mean. */
function Means({
  target,
  isPending,
  state,
  text,
  row: { key },
}: {
  readonly target: Target;
  readonly isPending: boolean;
  readonly state: State;
  readonly text: string;
  readonly row: PhotoRow;
}) {
  if (isPending) return <p className="small soft">Searching the book …</p>;
  switch (target.is) {
    case 'nothing':
      return null;
    case 'tile':
      return (
        <p className="small soft">
          Another reading of the tile {target.title}
          {target.tile.body.state === 'raw' && state === 'baked' ? ', baked from now on' : ''}.
        </p>
      );
    case 'new tile':
      return <p className="small soft">A new tile of {target.title}.</p>;
    case 'parts': {
      const fresh = target.parts.flatMap(({ of }) => (of.kind === 'new block' ? [of.name] : []));
      const with_ =
        fresh.length === 0
          ? ''
          : `, with the new ${fresh.length === 1 ? 'block' : 'blocks'} ${inARow(fresh)}`;
      return <p className="small soft">A new tile of this recipe{with_}.</p>;
    }
    case 'new block':
      return target.saidHere ? (
        <NewBlock title={target.title} rowKey={key} isNew />
      ) : (
        <p className="small soft">Another plain tile of the new block {target.title}.</p>
      );
  }
  const { near, missing, title } = target;
  const [first = title] = missing;
  return (
    <>
      <p className="small">
        {missing.length === 0
          ? `Nothing in the book is called ${title}.`
          : `The book has no ${missing.join(' and no ')} yet. If this photo shows a plain tile of it, mark that tile as a new block. Otherwise add the block in Stock first.`}
        {near.length === 0 ? '' : ' Did you mean'}
      </p>
      <div className="actions">
        {near.map((word) => (
          <Button
            key={word}
            onPress={() => sayOfRow(key, { text: text.replace(first, () => word) })}
          >
            {word}
          </Button>
        ))}
        {missing.length === 0 ? <NewBlock title={title} rowKey={key} isNew={false} /> : null}
      </div>
    </>
  );
}

function NewBlock({ title, rowKey, isNew }: { title: string; rowKey: string; isNew: boolean }) {
  return (
    <Tick isSelected={isNew} onChange={(is) => sayOfRow(rowKey, { newBlock: is })}>
      {title} is a new block
    </Tick>
  );
}

function untap(row: PhotoRow): void {
  for (const photo of photoSessionNow().photos) {
    if (photo.tray !== row.tray || !photo.taps.some(({ name }) => name === row.name)) continue;
    changePhoto(photo.draftId, { taps: photo.taps.filter(({ name }) => name !== row.name) });
    readAgain(photo.draftId, 0);
  }
  sayOfRow(row.key, { text: '' });
}
