import { plusMinusOf } from '../../core/recipe/verdict.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Field } from '../parts/field.tsx';
import { FigureRow } from '../parts/figure-row.tsx';
import { Tick } from '../parts/tick.tsx';
import { Tile, Unshown } from '../parts/tile.tsx';
import { CutOut, insideOf } from './cut-out.tsx';
import type { Target } from './match-code.ts';
import { type State, sayOfRow } from './photo-desk.ts';
import { doubtsOf, type PhotoRow } from './photo-rows.ts';

const WORTH = ['Better left out', 'Look twice', 'Good'] as const;

/** One tile of the photo: what was seen beside what was read, and what it is. */
export function TileRow({
  row,
  text,
  state,
  take,
  newBlock,
  target,
  isPending,
  severalTrays,
  no,
  onUntap,
}: {
  readonly row: PhotoRow;
  readonly text: string;
  readonly state: State;
  readonly take: boolean;
  readonly newBlock: boolean;
  readonly target: Target;
  readonly isPending: boolean;
  readonly severalTrays: boolean;
  /** Why it cannot be accepted as it is. */
  readonly no: string | undefined;
  readonly onUntap: (() => void) | undefined;
}) {
  const { key, name, shots, reading, worth } = row;
  const [{ told, tile, draftId }] = shots;
  const called = severalTrays ? `tile ${name} of tray ${row.tray}` : `tile ${name}`;
  const doubts = doubtsOf(row);
  const { lab, covariance } = reading;
  return (
    <li className="tile-row" data-left={!take || undefined} data-row={name}>
      <div className="tile-row-pair">
        <CutOut
          draftId={draftId}
          size={told}
          middle={tile.centre}
          side={insideOf(tile.outline, tile.centre)}
          label={`As the photo has ${called}`}
        />
        <Tile lab={lab} name={`As ${called} was read`} />
      </div>
      <div className="tile-row-words">
        <p>
          <span className="sample-name">{called.charAt(0).toUpperCase() + called.slice(1)}</span>,{' '}
          {spokenColour(lab)}. <strong>{take || worth === 0 ? WORTH[worth] : 'Left out'}</strong>
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
              no={no}
            />
            <Means
              target={target}
              isPending={isPending}
              state={state}
              newBlock={newBlock}
              row={row}
            />
          </>
        ) : null}
        <div className="doings tile-row-doings">
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
            Leave out<span className="unseen"> {called}</span>
          </Tick>
          {onUntap === undefined ? null : (
            <Button kind="quiet" onPress={onUntap}>
              Take this tap away
            </Button>
          )}
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
                name="Give or take"
                value={`± ${plusMinusOf(lab, covariance).toFixed(1)}`}
                unit="dE00"
              />
              <FigureRow name="Of its own" value={`± ${tile.spread.toFixed(2)}`} unit="an axis" />
              <FigureRow name="Photos" value={String(reading.photos)} unit="" />
            </tbody>
          </table>
        </details>
      </div>
    </li>
  );
}

/** What the words of a row stand for, and what else they might. */
function Means({
  target,
  isPending,
  state,
  newBlock,
  row: { key },
}: {
  target: Target;
  isPending: boolean;
  state: State;
  newBlock: boolean;
  row: PhotoRow;
}) {
  if (isPending) return <p className="small soft">Looking it up in the book.</p>;
  if (target.is === 'nothing') {
    return <p className="small soft">The code stamped into it, or the name of its clay.</p>;
  }
  if (target.is === 'tile') {
    const was = target.tile.body.state === 'raw' && state === 'baked' ? ', baked from now on' : '';
    return (
      <p className="small soft">
        A reading more of the tile {target.title}
        {was}.
      </p>
    );
  }
  if (target.is === 'new tile') {
    return <p className="small soft">A new tile of {target.title}.</p>;
  }
  if (target.is === 'parts') return <p className="small soft">A new tile of this recipe.</p>;
  const { near, missing, title } = target;
  return (
    <>
      <p className="small">
        {missing.length === 0
          ? `The book has nothing called ${title}.`
          : `The book does not know ${missing.join(' and ')} yet. Take a plain tile of it in first, then this recipe.`}
        {near.length === 0 ? '' : ' Did you mean'}
      </p>
      <div className="doings">
        {near.map((word) => (
          <Button key={word} onPress={() => sayOfRow(key, { text: word })}>
            {word}
          </Button>
        ))}
        {missing.length === 0 ? (
          <Tick isSelected={newBlock} onChange={(is) => sayOfRow(key, { newBlock: is })}>
            {title} is a block the book does not have yet
          </Tick>
        ) : null}
      </div>
    </>
  );
}
