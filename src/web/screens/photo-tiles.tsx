import '../look/photo.css';
import { useDeferredValue, useEffect, useState } from 'react';
import { Button } from '../parts/button.tsx';
import type { Accepted } from '../photo/accept-photos.ts';
import { readUnread } from '../photo/ask-reading.ts';
import { SessionChart } from '../photo/how-it-is-read.tsx';
import { PhotoIntake } from '../photo/photo-intake.tsx';
import { PhotoPanel } from '../photo/photo-panel.tsx';
import { usePhotoReads } from '../photo/photo-reads.ts';
import { usePhotoSession } from '../photo/photo-session-store.ts';
import { PrintSheet } from '../photo/print-sheet.tsx';
import { TileList } from '../photo/tile-list.tsx';
import { TilesSaved } from '../photo/tiles-saved.tsx';

/** What colour are the tiles in this photo? Nothing is saved until the user presses Accept. */
export function PhotoTiles() {
  const session = usePhotoSession();
  const reads = usePhotoReads(session.photos);
  // Rendering the readings takes time; the page stays responsive meanwhile.
  const shown = useDeferredValue(reads);
  useEffect(readUnread, []);
  const [printing, setPrinting] = useState(false);
  const [lookedAt, setLookedAt] = useState<string | undefined>();
  const [accepted, setAccepted] = useState<Accepted | undefined>();
  const trays = Math.max(1, ...session.photos.map(({ tray }) => tray));
  if (accepted !== undefined && session.photos.length === 0) {
    return <TilesSaved accepted={accepted} onMore={() => setAccepted(undefined)} />;
  }
  const empty = session.photos.length === 0;
  const list = (
    <TileList
      session={session}
      reads={shown}
      severalTrays={trays > 1}
      onAccepted={setAccepted}
      onLook={setLookedAt}
    />
  );
  return (
    <div className="screen">
      <header>
        <h1>Tiles from a photo</h1>
        <p className="soft">
          {empty
            ? 'One photo of a tray gives the colour of every tile on it. Nothing is saved until you press Accept.'
            : 'Nothing is saved yet.'}
        </p>
      </header>
      <PhotoIntake reads={reads} />
      {empty ? (
        <FirstTime onPrint={() => setPrinting(true)} />
      ) : (
        <div className="photo-columns" data-alone={shown.length === 1 || undefined}>
          <div className="stack">
            {shown.map((read, i) => (
              <PhotoPanel
                key={read.photo.draftId}
                read={read}
                number={i + 1}
                trays={trays}
                lookedAt={lookedAt}
              >
                {shown.length === 1 ? list : undefined}
              </PhotoPanel>
            ))}
            <details>
              <summary>Chart and sheet</summary>
              <div className="form">
                <SessionChart chart={session.chart} />
                <div className="actions">
                  <Button kind="quiet" onPress={() => setPrinting(true)}>
                    Print a tray sheet
                  </Button>
                </div>
              </div>
            </details>
          </div>
          {shown.length === 1 ? null : list}
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
        <h2>With a tray sheet</h2>
        <p>
          Print the sheet. Put a tile on each cross and a chart of 24 patches in the frame.
          Kneadwell finds each tile, and the chart corrects the colour of the light.
        </p>
        <div className="actions">
          <Button onPress={onPrint}>Print a tray sheet</Button>
        </div>
      </section>
      <section className="part">
        <h2>Without a sheet</h2>
        <p>
          Use any plain background and tap each tile in the photo. Without a chart the colours are
          rough, but differences between tiles of one photo are reliable.
        </p>
      </section>
      <section className="part">
        <h2>The light</h2>
        <p>
          Use a window or one daylight lamp from the side: no flash, no shadow on the tray, no
          bright colours nearby. Let baked tiles cool first: warm ones look different.
        </p>
      </section>
    </div>
  );
}
