import '../look/photo.css';
import { Link } from '@tanstack/react-router';
import { useDeferredValue, useEffect, useState } from 'react';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Part } from '../parts/field.tsx';
import type { Accepted } from '../photo/accept-photos.ts';
import { readForgotten } from '../photo/ask-reading.ts';
import { SessionChart } from '../photo/how-it-is-read.tsx';
import { PhotoIntake } from '../photo/photo-intake.tsx';
import { PhotoPanel } from '../photo/photo-panel.tsx';
import { usePhotoReads } from '../photo/photo-reads.ts';
import { usePhotoSession } from '../photo/photo-session-store.ts';
import { PrintSheet } from '../photo/print-sheet.tsx';
import { TileList } from '../photo/tile-list.tsx';
import { count } from './start.tsx';

/** What colour are the tiles in this photo? Nothing is kept before she accepts it. */
export function PhotoTiles() {
  const desk = usePhotoSession();
  const reads = usePhotoReads(desk.photos);
  // Drawing what was read takes its time; the page answers meanwhile.
  const shown = useDeferredValue(reads);
  useEffect(readForgotten, []);
  const [printing, setPrinting] = useState(false);
  const [accepted, setAccepted] = useState<Accepted | undefined>();
  const trays = Math.max(1, ...desk.photos.map(({ tray }) => tray));
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
            ? 'One photo of a tray gives the colour of every tile on it. Nothing is saved until you press Accept.'
            : 'Check that everything was found and fix what was not. Nothing is saved yet.'}
        </p>
      </header>
      <PhotoIntake reads={reads} />
      {empty ? (
        <FirstTime onPrint={() => setPrinting(true)} />
      ) : (
        <div className="photo-desk">
          <div className="stack">
            {shown.map((read, i) => (
              <PhotoPanel key={read.photo.draftId} read={read} number={i + 1} trays={trays} />
            ))}
            <Part title="What lies beside the tiles">
              <SessionChart chart={desk.chart} />
              <div className="actions">
                <Button kind="quiet" onPress={() => setPrinting(true)}>
                  Print a sheet for the next tray
                </Button>
              </div>
            </Part>
          </div>
          <TileList desk={desk} reads={shown} severalTrays={trays > 1} onAccepted={setAccepted} />
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
        <div className="actions">
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

function WhatNext({ accepted, onMore }: { accepted: Accepted; onMore: () => void }) {
  return (
    <EmptyState
      title={`${count(accepted.tiles, 'tile is', 'tiles are')} in the book`}
      actions={
        <>
          {accepted.raw ? null : (
            <Link className="button" data-kind="main" to="/clay-model">
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
        ? 'They are raw. Bake them as the packet says, let them cool and photograph them again: then it can be learned how baking moves them.'
        : 'The next recipes get surer once it has learned from them.'}
    </EmptyState>
  );
}
