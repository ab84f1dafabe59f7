import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { labOfReading } from '../../../domain/records/lab-of-reading.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useSamples } from '../../book/colours.ts';
import { useAll } from '../../book/queries.ts';
import { tempInWords, useUnits } from '../../book/units.ts';
import { Button } from '../../parts/button.tsx';
import { Tile } from '../../parts/tile.tsx';
import { EditTile } from '../tiles/edit-tile.tsx';

/** Every tile of a mix with its readings, how it was baked and where it is stored. */
export function ItsTiles({ id }: { readonly id: string }) {
  const { tiles, readings, isPending } = useSamples(id);
  const [editing, setEditing] = useState<string | undefined>();
  if (isPending) return null;
  const edited = tiles.find((tile) => tile.id === editing);
  const own = readings.filter(({ body }) => body.of.id === id);
  if (tiles.length === 0 && own.length === 0) return <p className="soft">No readings yet.</p>;
  return (
    <ul className="mix-tiles">
      {tiles.map((tile) => (
        <li key={tile.id}>
          <Swatches
            readings={readings.filter(({ body }) => body.of.id === tile.id)}
            name={tile.body.code ?? tile.body.name ?? 'Tile'}
          />
          <TileFacts tile={tile} />
          <Button
            kind="quiet"
            aria-label={`Edit tile ${tile.body.code ?? tile.body.name ?? ''}`}
            onPress={() => setEditing(tile.id)}
          >
            Edit tile
          </Button>
        </li>
      ))}
      {own.length === 0 ? null : (
        <li>
          <Swatches readings={own} name="Mix" />
          <span className="small soft">Reading without a tile.</span>
        </li>
      )}
      {edited === undefined ? null : (
        <EditTile tile={edited} onClose={() => setEditing(undefined)} />
      )}
    </ul>
  );
}

function Swatches({
  readings,
  name,
}: {
  readonly readings: readonly RecordOf<'reading'>[];
  readonly name: string;
}) {
  return (
    <span className="mix-readings">
      {readings.length === 0 ? <Tile lab={undefined} name={name} /> : null}
      {readings.map(({ id, body }) => (
        <span key={id}>
          <Tile lab={labOfReading(body)} name={`${name}, ${body.state}`} />
          <span className="small">
            {body.state}, {body.override?.lab === undefined ? body.readingKind : 'by eye'}
            {body.photoId === undefined ? null : (
              <>
                {', '}
                <Link to="/photos/$id" params={{ id: body.photoId }}>
                  show in photo
                </Link>
              </>
            )}
          </span>
        </span>
      ))}
    </span>
  );
}

function TileFacts({ tile: { body } }: { readonly tile: RecordOf<'tile'> }) {
  const units = useUnits();
  const boxes = useAll('box').byId;
  const { code, name, bakes, thicknessMm, boxId, finish, note } = body;
  const last = bakes.at(-1);
  const heat = last?.actualTempC ?? last?.setTempC;
  const facts = [
    thicknessMm === undefined ? '' : `${thicknessMm} mm thick`,
    last === undefined
      ? ''
      : `baked ${heat === undefined ? '' : `at ${tempInWords(heat, units)} `}for ${last.minutes} min`,
    bakes.length > 1 ? `${bakes.length} times in the oven` : '',
    finish ?? '',
  ].filter((fact) => fact !== '');
  const box = boxId === undefined ? undefined : boxes.get(boxId);
  return (
    <span className="small">
      {code === undefined ? null : <span className="code">{code} </span>}
      {name ?? ''} <span className="soft">{facts.join(', ')}</span>
      {box === undefined ? null : (
        <>
          {' '}
          <Link to="/book" search={{ box: box.id }}>
            in {box.body.lid}
          </Link>
        </>
      )}
      {note === undefined ? null : <span className="soft"> {note}</span>}
    </span>
  );
}
