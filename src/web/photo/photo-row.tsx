import { memo } from 'react';
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
import { doubtsOf, type PhotoRow } from './photo-rows.ts';
import { changePhoto, photoSessionNow, type State, sayOfRow } from './photo-session-store.ts';

const WORTH = ['Better excluded', 'Check this', 'Good'] as const;

/** One tile of the photo: its picture beside its colour, and what it is. */
export const TileRow = memo(function TileRow({
  row,
  text,
  state,
  take,
  target,
  isPending,
  severalTrays,
  isOpen,
}: {
  readonly row: PhotoRow;
  readonly text: string;
  readonly state: State;
  readonly take: boolean;
  readonly target: Target;
  readonly isPending: boolean;
  readonly severalTrays: boolean;
  /** Accept was pressed, but the tile has no name yet. */
  readonly isOpen: boolean;
}) {
  const { key, name, shots, reading, worth } = row;
  const [{ photoResult, tile, draftId }] = shots;
  const called = severalTrays ? `tile ${name} of tray ${row.tray}` : `tile ${name}`;
  const doubts = doubtsOf(row);
  const { lab, covariance } = reading;
  return (
    <li className="tile-row" data-left={!take || undefined} data-row={name}>
      <div className="tile-row-pair">
        <CutOut
          src={previewOf(draftId)}
          size={photoResult}
          middle={tile.centre}
          side={insideOf(tile.outline, tile.centre)}
          label={`Photo of ${called}`}
        />
        <Tile lab={lab} name={`Colour of ${called}`} />
      </div>
      <div className="tile-row-words">
        <p>
          <span className="sample-name">{called.charAt(0).toUpperCase() + called.slice(1)}</span>,{' '}
          {spokenColour(lab)}. <strong>{take || worth === 0 ? WORTH[worth] : 'Excluded'}</strong>
          {doubts.length === 0 ? '.' : `: ${doubts.join('; ')}.`}
        </p>
        <Unshown lab={lab} />
        {take ? (
          <>
            <Field
              label={`Code of ${called}`}
              value={text}
              onChange={(next) => sayOfRow(key, { text: next })}
              placeholder="Code, name, or K12 = 5 Kelp + 2 Foam"
              no={isOpen ? 'Type what this tile is, or exclude it.' : undefined}
            />
            <Means target={target} isPending={isPending} state={state} row={row} text={text} />
          </>
        ) : null}
        <div className="actions tile-row-actions">
          {take ? (
            <Choice<State>
              label={`State of ${called}`}
              value={state}
              onChange={(next) => sayOfRow(key, { state: next })}
              options={[
                ['baked', 'Baked'],
                ['raw', 'Raw'],
              ]}
            />
          ) : null}
          <Tick isSelected={!take} onChange={(out) => sayOfRow(key, { take: !out })}>
            Exclude<span className="unseen"> {called}</span>
          </Tick>
          {row.tapped ? (
            <Button kind="quiet" onPress={() => untap(row)}>
              Remove this point
            </Button>
          ) : null}
        </div>
        <details>
          <summary>Details</summary>
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
              <FigureRow name="Photos" value={String(reading.photos)} unit="" />
            </tbody>
          </table>
        </details>
      </div>
    </li>
  );
});

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
      return (
        <p className="small soft">Type the code stamped into the tile, or the name of its clay.</p>
      );
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
          : `, with the new ${fresh.length === 1 ? 'block' : 'blocks'} ${fresh.join(' and ')}`;
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
