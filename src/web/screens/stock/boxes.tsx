import { useState } from 'react';
import { useColours } from '../../book/colours.ts';
import { useAll } from '../../book/queries.ts';
import { massInWords, useUnits } from '../../book/units.ts';
import { Button } from '../../parts/button.tsx';
import { EmptyState } from '../../parts/empty-state.tsx';
import { Sample } from '../../parts/tile.tsx';
import { count } from '../start.tsx';
import { BoxSheet } from './box-sheet.tsx';
import { type Box, useNamesIn } from './boxed.ts';
import { EditBox } from './edit-box.tsx';

/** What stands where: boxes, jars and drawers, and what lies in each. */
export function Boxes() {
  const boxes = useAll('container');
  const tiles = useAll('tile').records;
  const lots = useAll('lot').records;
  const colours = useColours();
  const nameIn = useNamesIn();
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
          title="No box is written down"
          doings={
            <Button kind="main" onPress={() => setAdding(true)}>
              Add a box
            </Button>
          }
        >
          A box has what stands on its lid, and what lies in it. Written down once, the book says
          where that green is.
        </EmptyState>
      ) : (
        <>
          <div className="doings">
            <Button onPress={() => setAdding(true)}>Add a box</Button>
          </div>
          <ul className="boxes">
            {inside.map((box) => {
              const own = tiles.filter(({ body }) => body.containerId === box.id).length;
              const bought = lots.filter(({ body }) => body.containerId === box.id).length;
              const within = boxes.records.filter(({ body }) => body.insideOf === box.id);
              return (
                <li key={box.id} className="part">
                  <div className="box-head">
                    <div>
                      <h3>{box.body.lid}</h3>
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
                        <Sample key={of.id} lab={colours.of(of.id)?.lab} name={nameIn(of)}>
                          {massG === undefined ? null : (
                            <span className="small soft">{massInWords(massG, units)}</span>
                          )}
                        </Sample>
                      ))}
                    </div>
                  )}
                  <p className="small">
                    {[
                      own === 0 ? '' : count(own, 'tile'),
                      bought === 0 ? '' : count(bought, 'purchase'),
                      within.length === 0
                        ? ''
                        : `in it ${within.map(({ body }) => body.lid).join(', ')}`,
                    ]
                      .filter(Boolean)
                      .join('; ') ||
                      (box.body.holds.length === 0
                        ? 'Nothing is written down as lying in it.'
                        : '')}
                  </p>
                </li>
              );
            })}
          </ul>
        </>
      )}
      {adding ? <EditBox onClose={() => setAdding(false)} /> : null}
      {opened === undefined ? null : <BoxSheet box={opened} onClose={() => setOpen(undefined)} />}
    </>
  );
}

interface Boxen {
  readonly byId: ReadonlyMap<string, Box>;
}

/** "Studio drawer / Tin 3": sorts boxes under what they stand in. */
function pathOf(box: Box, { byId }: Boxen, depth = 0): string {
  const outer = box.body.insideOf === undefined ? undefined : byId.get(box.body.insideOf);
  const own = box.body.lid;
  return outer === undefined || depth > 8 ? own : `${pathOf(outer, { byId }, depth + 1)} / ${own}`;
}

function placeOf(box: Box, { byId }: Boxen): string {
  const outer = box.body.insideOf === undefined ? undefined : byId.get(box.body.insideOf);
  const said = [
    outer === undefined ? '' : `in ${outer.body.lid}`,
    box.body.place ?? outer?.body.place ?? '',
  ];
  return said.filter(Boolean).join(', ') || 'where it stands is not written down';
}
