import { Link, useNavigate } from '@tanstack/react-router';
import { useState } from 'react';
import { make } from '../../../domain/changes/steps.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { sendChange } from '../../book/change.ts';
import { useColours, useColoursOf } from '../../book/colours.ts';
import { useAll } from '../../book/queries.ts';
import { dayInWords } from '../../book/when-in-words.ts';
import { labInAddress } from '../../colour/lab-in-address.ts';
import { Button } from '../../parts/button.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Field, Part } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';
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
  const [naming, setNaming] = useState(false);
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
                <span className="side-by-side" aria-hidden="true">
                  {figure.body.batches.length === 0 ? <Tile lab={undefined} name="" /> : null}
                  {figure.body.batches.map(({ of }, i) => (
                    // biome-ignore lint/suspicious/noArrayIndexKey: a mix may be in a figure twice
                    <span key={i}>
                      <Tile
                        lab={(mixes.shown(of.id) ?? blocks.of(of.id))?.lab}
                        name=""
                        coming={mixes.isPending || blocks.isPending}
                      />
                    </span>
                  ))}
                </span>
                <span>
                  <b className="serif">{figure.body.name}</b>{' '}
                  <span className="small soft nowrap">
                    {figure.body.madeOn === undefined ? '' : dayInWords(figure.body.madeOn)}
                  </span>
                </span>
                <span className="actions">
                  <Link
                    to="/figures/$id"
                    params={{ id: figure.id }}
                    aria-label={`Plan ${figure.body.name}`}
                  >
                    Plan
                  </Link>
                  <Button
                    kind="quiet"
                    aria-label={`Edit ${figure.body.name}`}
                    onPress={() => setEditing(figure)}
                  >
                    Edit
                  </Button>
                </span>
              </li>
            ))}
          </ul>
        )}
        <div className="actions">
          <Button kind="main" onPress={() => setNaming(true)}>
            Plan a figure
          </Button>
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
                <span className="side-by-side">
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
      {naming ? <NameFigure onClose={() => setNaming(false)} /> : null}
      {planning === undefined ? null : (
        <EditPalette
          palette={planning === 'new' ? undefined : planning}
          onClose={() => setPlanning(undefined)}
        />
      )}
    </>
  );
}

/** Names a figure that is planned, and opens its plan. */
function NameFigure({ onClose }: { readonly onClose: () => void }) {
  const navigate = useNavigate();
  const [name, setName] = useState('');
  const keep = async () => {
    if (name.trim() === '') return 'Give the figure a name.';
    const [figure] = await sendChange(`Added the figure ${name.trim()}`, [
      make('figure', { name: name.trim(), plan: { shapes: [] }, batches: [], bakes: [] }),
    ]);
    if (figure !== undefined) {
      await navigate({ to: '/figures/$id', params: { id: figure.id } });
    }
    return undefined;
  };
  return (
    <Dialog title="Plan a figure" isOpen onClose={onClose}>
      <SaveForm keep={keep} onDone={onClose}>
        <Field label="Name" value={name} onChange={setName} />
      </SaveForm>
    </Dialog>
  );
}
