import { type ReactNode, useEffect, useState } from 'react';
import { AppError } from '../../core/errors.ts';
import type { Corners, Point } from '../../core/photo/plane-view.ts';
import { PAPERS, type PaperName } from '../../core/photo/sheet-layout.ts';
import { client } from '../book/client.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { dropPhoto, readAgain } from './ask-reading.ts';
import { CornerHandles, cornersToBegin } from './corner-handles.tsx';
import { previewOf } from './cut-out.tsx';
import { focusRow } from './focus-row.ts';
import { SheetPick } from './how-it-is-read.tsx';
import { panelId } from './photo-line.tsx';
import type { PhotoRead } from './photo-reads.ts';
import { rowKey } from './photo-rows.ts';
import { changePhoto, changePhotoSession, type PhotoHere } from './photo-session-store.ts';
import { uncertaintyInWords } from './photo-words.ts';
import { ReadDetails } from './read-details.tsx';
import { SeenLines } from './seen-lines.tsx';
import { TapLayer } from './tap-layer.tsx';
import { WhichChart } from './which-chart.tsx';
import { Zoomed } from './zoomed.tsx';

/** One photo with what was found in it, which the user can correct. */
export function PhotoPanel({
  read: { photo, job, running, no, photoResult },
  number,
  trays,
  lookedAt,
  children,
}: {
  readonly read: PhotoRead;
  readonly number: number;
  /** How many trays there are. */
  readonly trays: number;
  /** Key of the row that the user looks at. */
  readonly lookedAt: string | undefined;
  /** The list of tiles, beside the only photo. */
  readonly children?: ReactNode;
}) {
  const { draftId, fileName, widthPx, heightPx, sheet, taps } = photo;
  const [moving, setMoving] = useState<Corners | undefined>();
  const { gone, tries, onUnseen } = useStillThere(draftId);
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new reading puts the corners where it has them
  useEffect(() => setMoving(undefined), [photoResult]);
  const corners = moving ?? photo.corners ?? photoResult?.sheet?.markerCorners;
  const looked = photoResult?.tiles.find(({ name }) => rowKey(photo.tray, name) === lookedAt);
  // Tiles found on the bare table need no sheet.
  const noSheet = photoResult?.sheet === null && sheet !== 'none' && !running;
  const nothingFound = noSheet && photoResult.tiles.length === 0;
  const setCorners = () =>
    changePhoto(draftId, {
      corners: cornersToBegin(widthPx, heightPx),
      sheet: sheetByHand(photo, undefined),
    });

  const rest = (next: Corners) => {
    changePhoto(draftId, { corners: next, sheet: sheetByHand(photo, photoResult?.sheet?.name) });
    readAgain(draftId);
  };
  const findAgain = () => {
    changePhotoSession((now) => ({
      ...now,
      photos: now.photos.map((one) => {
        if (one.draftId !== draftId) return one;
        const { corners: _, ...others } = one;
        return { ...others, sheet: typeof sheet === 'string' ? 'any' : sheet };
      }),
    }));
    readAgain(draftId, 0);
  };
  const stop = () => {
    if (photo.jobId !== undefined) void client.call('cancelJob', { params: { id: photo.jobId } });
  };

  if (gone) {
    return (
      <div className="part">
        <p className="field-no">
          {fileName} is no longer here: photos that were not accepted are deleted after two days.
          Choose the photo again.
        </p>
        <div className="actions">
          <Button onPress={() => dropPhoto(draftId)}>Remove</Button>
        </div>
      </div>
    );
  }
  return (
    <section
      className="photo-panel"
      id={panelId(draftId)}
      tabIndex={-1}
      aria-label={`Photo ${number}, ${fileName}`}
      data-alone={children === undefined ? undefined : true}
    >
      <div className="photo-left">
        <Zoomed
          widthPx={widthPx}
          heightPx={heightPx}
          at={
            looked === undefined
              ? undefined
              : { x: looked.centre[0] / widthPx, y: looked.centre[1] / heightPx }
          }
        >
          <img
            key={tries}
            src={previewOf(draftId)}
            alt={fileName}
            decoding="async"
            onError={onUnseen}
          />
          {photoResult === undefined ? null : (
            <SeenLines photoResult={photoResult} lookedAt={looked?.name} />
          )}
          <TapLayer
            size={photo}
            onTap={(at) => {
              const tile = photoResult?.tiles.find(({ outline }) => isInside(outline, at));
              if (tile !== undefined) return focusRow(tile.name);
              changePhoto(draftId, { taps: [...taps, { name: nextTap(taps), at }] });
              readAgain(draftId);
            }}
          />
          {corners === undefined || sheet === 'none' ? null : (
            <CornerHandles
              src={previewOf(draftId)}
              size={photo}
              corners={corners}
              onMove={setMoving}
              onRest={rest}
            />
          )}
        </Zoomed>
        {running ? <JobProgress what={job?.progress?.what ?? 'Waiting'} onStop={stop} /> : null}
        <StepEnd job={job} no={no} onAgain={() => readAgain(draftId, 0)} />
        {nothingFound ? (
          <div className="part">
            <p>No tray sheet found in this photo. If there is one, set its four corners.</p>
            <div className="actions">
              <Button onPress={setCorners}>Set the corners</Button>
              <Button
                onPress={() => {
                  changePhoto(draftId, { sheet: 'none' });
                  readAgain(draftId, 0);
                }}
              >
                There is no sheet
              </Button>
            </div>
          </div>
        ) : photo.corners === undefined ? null : (
          <div className="actions">
            <Button kind="quiet" onPress={findAgain}>
              Find the sheet automatically
            </Button>
          </div>
        )}
        {photoResult === undefined ? null : (
          <WhichChart
            photoResult={photoResult}
            isChosen={photo.chartAt !== undefined}
            onPick={(chartAt) => {
              changePhoto(draftId, { chartAt });
              readAgain(draftId, 0);
            }}
          />
        )}
        {photoResult === undefined ? null : (
          <div aria-live="polite" className="photo-said">
            <p className="lead">{uncertaintyInWords(photoResult)}</p>
            {photoResult.notes.map((note) => (
              <p key={note} className="small">
                {note}
              </p>
            ))}
          </div>
        )}
      </div>
      {children}
      <div className="photo-more">
        <p className="small soft">
          Tap the middle of a tile that was not found.
          {corners === undefined || sheet === 'none'
            ? ''
            : ' Drag each numbered corner onto the outer corner of a black square: 1 is where the ruler begins. The photo is read again when you release the corner.'}
        </p>
        {photoResult === undefined ? null : <ReadDetails photoResult={photoResult} />}
        <details>
          <summary>Photo settings</summary>
          <div className="form">
            <SheetPick photo={photo} />
            {noSheet && !nothingFound ? (
              <Button kind="quiet" onPress={setCorners}>
                Set the corners of the sheet
              </Button>
            ) : null}
            {number === 1 ? null : (
              <Choice
                label="This photo shows"
                value={String(photo.tray)}
                onChange={(tray) => changePhoto(draftId, { tray: Number(tray) })}
                options={Array.from(
                  { length: trays + 1 },
                  (_, i) => [String(i + 1), i < trays ? `Tray ${i + 1}` : 'Another tray'] as const,
                )}
              />
            )}
          </div>
        </details>
        <div className="actions">
          <Button kind="quiet" onPress={() => dropPhoto(draftId)}>
            Delete this photo
          </Button>
        </div>
      </div>
    </section>
  );
}

function StepEnd({ job, no, onAgain }: Pick<PhotoRead, 'job' | 'no'> & { onAgain: () => void }) {
  const ended = job?.state === 'failed' || job?.state === 'cancelled' || job?.state === 'lost';
  if (no === undefined && !ended) return null;
  const stopped = no === undefined && job?.state === 'cancelled';
  return (
    <div className="part" role="status">
      <p className={stopped ? 'soft' : 'field-no'}>
        {stopped
          ? 'Stopped. Nothing was changed.'
          : (no ??
            (job?.problem === undefined
              ? (job?.says ?? 'Stopped before it was done. Please try again.')
              : `${job.problem.detail} ${job.problem.hint}`))}
      </p>
      <div className="actions">
        <Button onPress={onAgain}>Read again</Button>
      </div>
    </div>
  );
}

const LOOK_AGAIN_MS = 3000;

/** A photo that did not load is gone only if the server says so; otherwise it is fetched again. */
function useStillThere(draftId: string) {
  const [gone, setGone] = useState(false);
  const [tries, setTries] = useState(0);
  const onUnseen = async () => {
    try {
      await client.call('getPhotoDraft', { params: { id: draftId } });
    } catch (fault) {
      if (fault instanceof AppError && fault.kind === 'not-found') return setGone(true);
    }
    setTimeout(() => setTries((now) => now + 1), LOOK_AGAIN_MS);
  };
  return { gone, tries, onUnseen };
}

/** Corners set by hand need a certain sheet: the one found, or the one chosen. */
export function sheetByHand(
  { sheet }: Pick<PhotoHere, 'sheet'>,
  found: string | undefined,
): PhotoHere['sheet'] {
  if (typeof sheet !== 'string') return sheet;
  const paper = PAPERS.find((name) => name === sheet || name === found);
  return (paper ?? 'A4') satisfies PaperName;
}

/** Whether a point is inside an outline: a ray from the point to the right crosses an odd number of edges. */
function isInside(outline: readonly Point[], [x, y]: Point): boolean {
  return outline.reduce((inside, [ax, ay], i) => {
    const [bx, by] = outline[(i + 1) % outline.length];
    const crosses = ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax);
    return crosses ? !inside : inside;
  }, false);
}

function nextTap(taps: PhotoHere['taps']): string {
  const numbers = taps.map(({ name }) => Number(name.replace(/\D/g, '')));
  return `tap ${Math.max(0, ...numbers) + 1}`;
}
