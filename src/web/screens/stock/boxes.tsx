import { useState } from 'react';
import { useColoursOf } from '../../book/colours.ts';
import { useAll } from '../../book/queries.ts';
import { massInWords, useUnits } from '../../book/units.ts';
import { Button } from '../../parts/button.tsx';
import { EmptyState } from '../../parts/empty-state.tsx';
import { Sample } from '../../parts/tile.tsx';
import { count } from '../count.ts';
import { BoxDialog } from './box-dialog.tsx';
import { type Box, useNamesIn, useOwnOf } from './boxed.ts';
import { EditBox } from './edit-box.tsx';

/** Boxes, jars and drawers, and what is in each. */
export function Boxes() {
  const boxes = useAll('box');
  const colours = useColoursOf(heldIds(boxes.records));
  const nameIn = useNamesIn(boxes.records);
  const units = useUnits();
  const [adding, setAdding] = useState(false);
  const [open, setOpen] = useState<string | undefined>();
  const inside = boxes.records.toSorted((one, other) =>
    pathOf(one, boxes).localeCompare(pathOf(other, boxes)),
  );
  const opened = open === undefined ? undefined : boxes.byId.get(open);
  return (
    <>
      {boxes.records.length === 0 ? (
        <EmptyState
          title="No boxes yet"
          actions={
            <Button kind="main" onPress={() => setAdding(true)}>
              Add a box
            </Button>
          }
        >
          Give each box a name and list what is inside. Then Kneadwell can say where each clay is.
        </EmptyState>
      ) : (
        <>
          <div className="actions">
            <Button onPress={() => setAdding(true)}>Add a box</Button>
          </div>
          <ul className="boxes">
            {inside.map((box) => {
              const within = boxes.records.filter(({ body }) => body.insideOf === box.id);
              return (
                <li key={box.id} className="part">
                  <div className="box-head">
                    <div>
                      <h2 className="small-head">{box.body.lid}</h2>
                      <p className="soft small">{placeOf(box, boxes)}</p>
                    </div>
                    <Button
                      aria-label={`Open ${box.body.lid}`}
                      kind="quiet"
                      onPress={() => setOpen(box.id)}
                    >
                      Open
                    </Button>
                  </div>
                  {box.body.holds.length === 0 ? null : (
                    <div className="bench swatches" data-size="small">
                      {box.body.holds.map(({ of, massG }) => (
                        <Sample
                          key={of.id}
                          lab={colours.shown(of.id)?.lab}
                          name={nameIn(of)}
                          coming={colours.isPending}
                        >
                          {massG === undefined ? null : (
                            <span className="small soft">{massInWords(massG, units)}</span>
                          )}
                        </Sample>
                      ))}
                    </div>
                  )}
                  <BoxSays box={box} within={within.map(({ body }) => body.lid)} />
                </li>
              );
            })}
          </ul>
        </>
      )}
      {adding ? <EditBox onClose={() => setAdding(false)} /> : null}
      {opened === undefined ? null : <BoxDialog box={opened} onClose={() => setOpen(undefined)} />}
    </>
  );
}

/** What else the box contains, in words. */
function BoxSays({ box, within }: { readonly box: Box; readonly within: readonly string[] }) {
  const tiles = useOwnOf(box, 'tile');
  const purchases = useOwnOf(box, 'purchase');
  const said = [
    tiles.total === 0 ? '' : count(tiles.total, 'tile'),
    purchases.total === 0 ? '' : count(purchases.total, 'purchase'),
    within.length === 0 ? '' : `contains ${within.join(', ')}`,
  ].filter(Boolean);
  if (said.length > 0) return <p className="small">{said.join('; ')}</p>;
  return box.body.holds.length > 0 ? null : <p className="small soft">Empty.</p>;
}

/** Most items drawn with their colour; the rest are names. */
const MOST_DRAWN = 200;

function heldIds(boxes: readonly Box[]): readonly string[] {
  return boxes.flatMap(({ body }) => body.holds.map(({ of }) => of.id)).slice(0, MOST_DRAWN);
}

interface BoxesById {
  readonly byId: ReadonlyMap<string, Box>;
}

/** "Studio drawer / Tin 3": sorts boxes under the box they are in. */
function pathOf(box: Box, { byId }: BoxesById, depth = 0): string {
  const outer = box.body.insideOf === undefined ? undefined : byId.get(box.body.insideOf);
  const own = box.body.lid;
  return outer === undefined || depth > 8 ? own : `${pathOf(outer, { byId }, depth + 1)} / ${own}`;
}

function placeOf(box: Box, { byId }: BoxesById): string {
  const outer = box.body.insideOf === undefined ? undefined : byId.get(box.body.insideOf);
  const said = [
    outer === undefined ? '' : `in ${outer.body.lid}`,
    box.body.place ?? outer?.body.place ?? '',
  ];
  return said.filter(Boolean).join(', ') || 'place unknown';
}
