import { useState } from 'react';
import type { PhotoResult, TileResult } from '../../domain/photo-result.ts';
import { labOfReading } from '../../domain/records/lab-of-reading.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from '../parts/button.tsx';
import { Form } from '../parts/form.tsx';
import { Tick } from '../parts/tick.tsx';
import { Tile, Unshown } from '../parts/tile.tsx';
import { count } from '../screens/count.ts';
import { RecordHistory } from '../screens/record-history.tsx';
import { asRead } from './as-read.ts';
import { CutOut, insideOf, savedPreviewOf } from './cut-out.tsx';
import { changeInWords } from './saved-again.ts';
import type { Again, NamedReading } from './use-saved-photo.ts';

/** The saved readings of a photo, each beside the new reading. */
export function SavedReadings({
  photo,
  readings,
  again,
  changed,
  onTaken,
}: {
  readonly photo: RecordOf<'photo'>;
  readonly readings: readonly NamedReading[];
  readonly again: Again;
  /** Readings that were changed last. */
  readonly changed: number;
  readonly onTaken: (changed: number) => void;
}) {
  const [said, setSaid] = useState<Readonly<Record<string, boolean>>>({});
  const { photoResult, pairs, running } = again;
  const takes = (id: string) => said[id] ?? pairs.get(id)?.quality !== 'poor';
  const taken = readings.filter(({ reading: { id } }) => pairs.has(id) && takes(id));
  return (
    <Form
      className="stack"
      label="Readings"
      onSend={async () => {
        if (await again.take(taken.map(({ reading }) => reading))) {
          setSaid({});
          onTaken(taken.length);
        }
      }}
    >
      <h2>{count(readings.length, 'reading')}</h2>
      {changed > 0 && photoResult === undefined ? (
        <p role="status">
          {changed === 1 ? '1 reading changed' : `${changed} readings changed`}. You can undo this
          in the history of each reading.
        </p>
      ) : null}
      {photoResult === undefined ? null : (
        <p className="small soft">Left to right: photo, saved reading, new reading.</p>
      )}
      <ul className="tile-rows">
        {readings.map((one) => (
          <SavedRow
            key={one.reading.id}
            photo={photo}
            named={one}
            photoResult={photoResult}
            tile={pairs.get(one.reading.id)}
            take={takes(one.reading.id)}
            onTake={(is) => setSaid({ ...said, [one.reading.id]: is })}
          />
        ))}
      </ul>
      {photoResult === undefined ? null : (
        <div className="actions thumb">
          <Button kind="main" type="submit" isDisabled={running || taken.length === 0}>
            Accept {count(taken.length, 'new reading')}
          </Button>
          <Button kind="quiet" onPress={again.forget}>
            Cancel
          </Button>
        </div>
      )}
    </Form>
  );
}

function SavedRow({
  photo,
  named: { reading, title },
  photoResult,
  tile,
  take,
  onTake,
}: {
  readonly photo: RecordOf<'photo'>;
  readonly named: NamedReading;
  readonly photoResult: PhotoResult | undefined;
  readonly tile: TileResult | undefined;
  readonly take: boolean;
  readonly onTake: (is: boolean) => void;
}) {
  const { body } = reading;
  const { override, ...asItWas } = body;
  const saved = labOfReading(asItWas);
  const now =
    photoResult === undefined || tile === undefined ? undefined : asRead(photoResult, tile);
  return (
    <li className="tile-row" data-of={title}>
      <div className="tile-row-pair" data-three={now === undefined ? undefined : true}>
        {photoResult === undefined || tile === undefined ? null : (
          <CutOut
            src={savedPreviewOf(photo.id)}
            size={photoResult}
            middle={tile.centre}
            side={insideOf(tile.outline, tile.centre)}
            label={`Photo of ${title}`}
          />
        )}
        <Tile lab={saved} name={`${title}, saved reading`} />
        {now === undefined ? null : <Tile lab={now.lab.values} name={`${title}, new reading`} />}
      </div>
      <div className="tile-row-words">
        <p>
          <span className="sample-name">{title}</span>, {body.state}, {body.readingKind}
          {saved === undefined ? '' : `, ${spokenColour(saved)}`}.
        </p>
        <Unshown lab={saved} />
        {override === undefined ? null : (
          <p className="small soft">The colour you chose by eye is used instead.</p>
        )}
        {photoResult === undefined ? null : now === undefined ? (
          <p className="small">Not found in the new reading. The saved reading stays.</p>
        ) : (
          <>
            <p className="small">{changeInWords(reading, now.lab.values, now.readingKind)}</p>
            <p className="small soft">
              Spread ± {body.spread.toFixed(2)} before, ± {now.spread.toFixed(2)} now.
              {tile === undefined || tile.marks.length === 0
                ? ''
                : ` Check: ${tile.marks.map(({ reason }) => reason).join('; ')}.`}
            </p>
            <Tick isSelected={!take} onChange={(leave) => onTake(!leave)}>
              Skip<span className="unseen"> {title}</span>
            </Tick>
          </>
        )}
        <details>
          <summary>History</summary>
          <RecordHistory id={reading.id} />
        </details>
      </div>
    </li>
  );
}
