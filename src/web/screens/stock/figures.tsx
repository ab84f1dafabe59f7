import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useColours, useColoursOf } from '../../book/colours.ts';
import { useAll } from '../../book/queries.ts';
import { dayInWords } from '../../book/when-in-words.ts';
import { labInAddress } from '../../colour/lab-in-address.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';
import { Tile } from '../../parts/tile.tsx';
import { EditFigure } from './edit-figure.tsx';
import { EditPalette } from './edit-palette.tsx';

/** Most colours asked for in one call. */
const MOST_COLOURS = 200;

/** The figures made, with the colours in them, and the palettes planned; both are written here. */
export function Figures() {
  const figures = useAll('figure').records;
  const palettes = useAll('palette').records;
  const [editing, setEditing] = useState<RecordOf<'figure'> | 'new' | undefined>();
  const [planning, setPlanning] = useState<RecordOf<'palette'> | 'new' | undefined>();
  const ids = [
    ...new Set(
      figures.flatMap(({ body }) =>
        body.batches.flatMap(({ of }) => (of.kind === 'mix' ? [of.id] : [])),
      ),
    ),
  ].slice(0, MOST_COLOURS);
  const mixes = useColoursOf(ids);
  const blocks = useColours();
  return (
    <>
      <Part title="Figures">
        {figures.length === 0 ? (
          <p className="soft">Write down what a figure is made of, to match its colours again.</p>
        ) : (
          <ul className="strips">
            {figures.map((figure) => (
              <li key={figure.id}>
                <span className="touching" aria-hidden="true">
                  {figure.body.batches.map(({ of }, i) => (
                    // biome-ignore lint/suspicious/noArrayIndexKey: a mix may be in a figure twice
                    <span key={i}>
                      <Tile lab={(mixes.shown(of.id) ?? blocks.of(of.id))?.lab} name="" />
                    </span>
                  ))}
                </span>
                <span>
                  <b className="serif">{figure.body.name}</b>{' '}
                  <span className="small soft">
                    {figure.body.madeOn === undefined ? '' : dayInWords(figure.body.madeOn)}
                  </span>
                </span>
                <Button
                  kind="quiet"
                  aria-label={`Edit ${figure.body.name}`}
                  onPress={() => setEditing(figure)}
                >
                  Edit
                </Button>
              </li>
            ))}
          </ul>
        )}
        <div className="actions">
          <Button onPress={() => setEditing('new')}>Add a figure</Button>
        </div>
      </Part>
      <Part title="Palettes">
        {palettes.length === 0 ? (
          <p className="soft">A palette is a list of colours you want.</p>
        ) : (
          <ul className="strips">
            {palettes.map((palette) => (
              <li key={palette.id}>
                <span className="touching">
                  {palette.body.aims.map(({ id, lab, name }) => (
                    <Link
                      key={id}
                      to="/find"
                      search={{
                        aim: labInAddress(lab),
                        called: name ?? palette.body.name,
                      }}
                    >
                      <Tile lab={lab} name={`Find ${name ?? 'this colour'}`} />
                    </Link>
                  ))}
                </span>
                <b className="serif">{palette.body.name}</b>
                <Button
                  kind="quiet"
                  aria-label={`Edit ${palette.body.name}`}
                  onPress={() => setPlanning(palette)}
                >
                  Edit
                </Button>
              </li>
            ))}
          </ul>
        )}
        <div className="actions">
          <Button onPress={() => setPlanning('new')}>Add a palette</Button>
        </div>
      </Part>
      {editing === undefined ? null : (
        <EditFigure
          figure={editing === 'new' ? undefined : editing}
          onClose={() => setEditing(undefined)}
        />
      )}
      {planning === undefined ? null : (
        <EditPalette
          palette={planning === 'new' ? undefined : planning}
          onClose={() => setPlanning(undefined)}
        />
      )}
    </>
  );
}
