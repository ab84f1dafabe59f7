import { Form } from '../parts/form.tsx';
import '../look/photo.css';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { wordsOf } from '../book/change.ts';
import { useAll } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Field, Part } from '../parts/field.tsx';
import { type Accepted, acceptDesk } from '../photo/accept-desk.ts';
import type { TakenRow } from '../photo/accept-steps.ts';
import { readAnew } from '../photo/bring-photo.ts';
import { ChartPick } from '../photo/how-it-is-read.tsx';
import {
  changeDesk,
  changePhoto,
  deskNow,
  type State,
  sayOfRow,
  useDesk,
} from '../photo/photo-desk.ts';
import { PhotoIntake } from '../photo/photo-intake.tsx';
import { PhotoPanel } from '../photo/photo-panel.tsx';
import { usePhotoReads } from '../photo/photo-reads.ts';
import { TileRow } from '../photo/photo-row.tsx';
import { type PhotoRow, photoRows } from '../photo/photo-rows.ts';
import { bakingInWords, driftInWords, earlierOf, type KnownRow } from '../photo/photo-words.ts';
import { PrintSheet } from '../photo/print-sheet.tsx';
import { useTargets } from '../photo/use-targets.ts';
import { count } from './start.tsx';

/** What colour are the tiles in this photo? Nothing is kept before she accepts it. */
export function PhotoTiles() {
  const desk = useDesk();
  const reads = usePhotoReads(desk.photos);
  const lines = useAll('line');
  const [printing, setPrinting] = useState(false);
  const [accepted, setAccepted] = useState<Accepted | undefined>();
  const [no, setNo] = useState<string | undefined>();
  const [pressed, setPressed] = useState(false);
  const [busy, setBusy] = useState(false);

  const rows = photoRows(reads);
  const said = rows.map((row) => {
    const own = desk.rows[row.key] ?? {};
    return {
      text: own.text ?? printedFor(row, desk.printed),
      state: own.state ?? desk.state,
      take: own.take ?? row.worth > 0,
      newBlock: own.newBlock ?? false,
    };
  });
  const targets = useTargets(said.map(({ text, state }) => ({ text, state })));
  const known = rows.map((row, i): KnownRow => ({ row, state: said[i].state, ...targets[i] }));
  const counted = known.filter((_, i) => said[i].take);
  const baking = bakingInWords(counted);
  const drift = driftInWords(counted);
  const taken = rows.flatMap((row, i): TakenRow[] =>
    said[i].take ? [{ row, ...said[i], target: targets[i].target }] : [],
  );
  const open = taken.filter(
    ({ target, newBlock }) =>
      target.is === 'nothing' ||
      (target.is === 'unknown' && (!newBlock || target.missing.length > 0)),
  );
  const running = reads.some((one) => one.running);
  const trays = Math.max(1, ...desk.photos.map(({ tray }) => tray));
  const newBlocks = taken.some(({ target, newBlock }) => target.is === 'unknown' && newBlock);

  const accept = async () => {
    setPressed(true);
    setNo(undefined);
    if (open.length > 0) {
      const [first] = open;
      document
        .querySelector<HTMLElement>(`[data-row="${CSS.escape(first.row.name)}"] input`)
        ?.focus();
      return;
    }
    setBusy(true);
    try {
      setAccepted(await acceptDesk(taken, lines.records));
      setPressed(false);
    } catch (fault) {
      setNo(wordsOf(fault));
    } finally {
      setBusy(false);
    }
  };

  if (accepted !== undefined && desk.photos.length === 0) {
    return <WhatNext accepted={accepted} onMore={() => setAccepted(undefined)} />;
  }
  const empty = desk.photos.length === 0;
  return (
    <div className="screen">
      <header>
        <h1>Tiles from a photo</h1>
        <p className="soft">
          {empty
            ? 'One photo of a tray gives a colour for every tile on it. Nothing is kept before you accept it.'
            : 'Look whether everything was found; put right what is not. Nothing is kept yet.'}
        </p>
      </header>
      <PhotoIntake first={empty} />
      {empty ? (
        <FirstTime onPrint={() => setPrinting(true)} />
      ) : (
        <div className="photo-desk">
          <div className="stack">
            {reads.map((read, i) => (
              <PhotoPanel key={read.photo.draftId} read={read} number={i + 1} trays={trays} />
            ))}
            <Part title="What lies beside the tiles">
              <ChartPick chart={desk.chart} />
              <div className="doings">
                <Button kind="quiet" onPress={() => setPrinting(true)}>
                  Print a sheet for the next tray
                </Button>
              </div>
            </Part>
          </div>
          <Form className="stack" label="The tiles" onSend={accept}>
            {rows.length === 0 ? (
              <p className="lead">
                {running
                  ? 'The tiles stand here as soon as they are read.'
                  : 'No tile yet. Tap one in the photo, or move the corners of the sheet.'}
              </p>
            ) : (
              <>
                <h2>{count(rows.length, 'tile')}</h2>
                <Choice<State>
                  label="State of all tiles"
                  value={desk.state}
                  onChange={(state) => changeDesk((now) => ({ ...now, state }))}
                  options={[
                    ['baked', 'Baked and cool'],
                    ['raw', 'Raw'],
                  ]}
                />
                <ul className="tile-rows">
                  {rows.map((row, i) => (
                    <TileRow
                      key={row.key}
                      row={row}
                      {...said[i]}
                      target={targets[i].target}
                      isPending={targets[i].isPending}
                      severalTrays={trays > 1}
                      no={
                        pressed && open.some((one) => one.row === row)
                          ? 'What is it? Say it, or leave it out.'
                          : undefined
                      }
                      onUntap={row.tapped ? () => untap(row) : undefined}
                    />
                  ))}
                </ul>
                {baking.length === 0 ? null : (
                  <Part title="What baking did">
                    {baking.map((sentence) => (
                      <p key={sentence}>{sentence}</p>
                    ))}
                  </Part>
                )}
                <Controls drift={drift} />
                {newBlocks ? (
                  <Field
                    label="Line of the new blocks, the name on their packets"
                    value={desk.line}
                    onChange={(line) => changeDesk((now) => ({ ...now, line }))}
                    placeholder="My clays"
                  />
                ) : null}
                {no === undefined ? null : <p className="field-no">{no}</p>}
                <div className="doings thumb">
                  <Button
                    kind="main"
                    type="submit"
                    isDisabled={busy || running || taken.length === 0}
                  >
                    Accept {count(taken.length, 'tile')}
                  </Button>
                  <span className="soft small" role="status">
                    {running
                      ? 'Being read.'
                      : open.length === 0
                        ? ''
                        : `${open.length === 1 ? 'One tile is' : `${open.length} tiles are`} not named yet.`}
                  </span>
                </div>
              </>
            )}
          </Form>
        </div>
      )}
      {printing ? <PrintSheet onClose={() => setPrinting(false)} /> : null}
    </div>
  );
}

function FirstTime({ onPrint }: { onPrint: () => void }) {
  return (
    <div className="start-ways">
      <section className="part">
        <h2>On a tray sheet</h2>
        <p>
          Print the sheet, lay a tile on every cross and a chart of 24 patches in its frame. Each
          tile is found by itself, and the chart takes the colour of the light away.
        </p>
        <div className="doings">
          <Button onPress={onPrint}>Print the sheet</Button>
        </div>
      </section>
      <section className="part">
        <h2>With no sheet</h2>
        <p>
          Any plain ground will do: tap each tile in the photo. With no chart colours are rough, but
          how tiles of one photo differ is still told well.
        </p>
      </section>
      <section className="part">
        <h2>The light</h2>
        <p>
          A window or one daylight lamp from the side, no flash, no shadow over the tray, nothing
          coloured near. Let baked tiles cool first: warm ones look otherwise.
        </p>
      </section>
    </div>
  );
}

/** Tiles the book knows: do they still read as they did, and may the photo be balanced by them? */
function Controls({ drift: { sentences, known } }: { drift: ReturnType<typeof driftInWords> }) {
  const rough = known.filter(({ row }) => row.shots[0].told.rough !== null);
  if (sentences.length === 0 && rough.length === 0) return null;
  const balance = () => {
    for (const { draftId } of deskNow().photos) {
      const controls = rough.flatMap((one) =>
        one.row.shots[0].draftId === draftId
          ? [
              {
                name: one.row.name,
                earlier: earlierOf(one).map(({ lab: [l, a, b], spread }) => ({
                  lab: [l, a, b] as [number, number, number],
                  spread,
                })),
              },
            ]
          : [],
      );
      changePhoto(draftId, { controls });
      readAnew(draftId, 0);
    }
  };
  const balanced = rough.some(
    ({ row }) => row.shots[0].told.rough?.balanced === 'by control tiles',
  );
  return (
    <Part title="Tiles read before">
      {sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {rough.length === 0 ? null : balanced ? (
        <p>The photo is balanced by {count(rough.length, 'tile')} the book knows.</p>
      ) : (
        <>
          <p>
            The book knows {count(rough.length, 'tile')} of this photo as measured. It can be
            balanced by {rough.length === 1 ? 'it' : 'them'}, and the others come out surer.
          </p>
          <div className="doings">
            <Button onPress={balance}>Balance the photo by them</Button>
          </div>
        </>
      )}
    </Part>
  );
}

function WhatNext({ accepted, onMore }: { accepted: Accepted; onMore: () => void }) {
  return (
    <EmptyState
      title={`${count(accepted.tiles, 'tile is', 'tiles are')} in the book`}
      doings={
        <>
          {accepted.raw ? null : (
            <Link className="button" data-kind="main" to="/learn">
              Learn from them
            </Link>
          )}
          <Link className="button" to="/tiles">
            See them among the tiles
          </Link>
          <Button onPress={onMore}>Another photo</Button>
        </>
      }
    >
      {accepted.raw
        ? 'They are raw. Bake them as the packet says, let them cool and photograph them again: then it can be learnt how baking moves them.'
        : 'The next recipes get surer once it has learnt from them.'}
    </EmptyState>
  );
}

/** On a printed sheet a place has the code that was printed beside it. */
function printedFor({ name, shots }: PhotoRow, printed: readonly string[]): string {
  const { sheet } = shots[0].told;
  if (sheet === null || !/^\d+$/.test(name)) return '';
  return printed[Number(name) - 1] ?? '';
}

function untap(row: PhotoRow): void {
  for (const photo of deskNow().photos) {
    if (photo.tray !== row.tray || !photo.taps.some(({ name }) => name === row.name)) continue;
    changePhoto(photo.draftId, { taps: photo.taps.filter(({ name }) => name !== row.name) });
    readAnew(photo.draftId, 0);
  }
  sayOfRow(row.key, { text: '' });
}
