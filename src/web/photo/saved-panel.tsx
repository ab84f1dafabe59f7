import { useEffect, useState } from 'react';
import type { Corners } from '../../core/photo/plane-view.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { Button } from '../parts/button.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { CornerHandles, cornersToBegin } from './corner-handles.tsx';
import { savedPreviewOf } from './cut-out.tsx';
import { ChartPick } from './how-it-is-read.tsx';
import { sheetByHand } from './photo-panel.tsx';
import { uncertaintyInWords } from './photo-words.ts';
import { ReadDetails } from './read-details.tsx';
import { SeenLines } from './seen-lines.tsx';
import type { Again, NamedReading } from './use-saved-photo.ts';
import { WhichChart } from './which-chart.tsx';

/** A saved photo with the outlines of its readings, and the settings to read it again. */
export function SavedPanel({
  photo,
  readings,
  again,
}: {
  readonly photo: RecordOf<'photo'>;
  readonly readings: readonly NamedReading[];
  readonly again: Again;
}) {
  const { how, photoResult, pairs, running, no } = again;
  const name = photo.body.name ?? photo.body.fileName ?? 'The photo';
  const src = savedPreviewOf(photo.id);
  const [size, setSize] = useState<{ widthPx: number; heightPx: number } | undefined>();
  const [gone, setGone] = useState(false);
  const [moving, setMoving] = useState<Corners | undefined>();
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new reading puts the corners where it has them
  useEffect(() => setMoving(undefined), [photoResult]);
  if (gone) {
    return (
      <p className="field-no">
        The file of this photo cannot be shown: the file is missing, or Kneadwell is not running.
        Its readings are not affected.
      </p>
    );
  }
  const shown = photoResult ?? size;
  const corners = moving ?? how.corners ?? photoResult?.sheet?.markerCorners;
  const { corners: _, ...byItself } = how;
  return (
    <section className="photo-panel" aria-label={`The photo ${name}`}>
      <div className="bench shot-bench">
        <div
          className="shot"
          style={
            shown === undefined
              ? {}
              : {
                  aspectRatio: `${shown.widthPx} / ${shown.heightPx}`,
                  maxWidth: `calc(78dvh * ${shown.widthPx / shown.heightPx})`,
                }
          }
        >
          <img
            src={src}
            alt={name}
            onLoad={({ currentTarget: { naturalWidth, naturalHeight } }) =>
              setSize({ widthPx: naturalWidth, heightPx: naturalHeight })
            }
            onError={() => setGone(true)}
          />
          {photoResult !== undefined ? (
            <SeenLines
              photoResult={{
                ...photoResult,
                tiles: photoResult.tiles.map((tile) => {
                  const of = readings.find(({ reading }) => pairs.get(reading.id) === tile);
                  return { ...tile, name: of?.title ?? '' };
                }),
              }}
            />
          ) : size === undefined ? null : (
            <SeenLines
              photoResult={{ ...size, sheet: null, chart: null, tiles: outlines(readings, size) }}
            />
          )}
          {photoResult === undefined || corners === undefined || how.sheet === 'none' ? null : (
            <CornerHandles
              src={src}
              size={photoResult}
              corners={corners}
              onMove={setMoving}
              onRest={(next) =>
                again.read({
                  ...how,
                  corners: next,
                  sheet: sheetByHand(how, photoResult.sheet?.name),
                })
              }
            />
          )}
        </div>
      </div>
      {running ? <JobProgress what="Reading the photo again" onStop={again.stop} /> : null}
      {no === undefined ? null : (
        <p className="field-no" role="status">
          {no}
        </p>
      )}
      {photoResult === undefined ? null : (
        <WhichChart
          photoResult={photoResult}
          isChosen={how.chartAt !== undefined}
          onPick={(chartAt) => again.read({ ...how, chartAt })}
        />
      )}
      <ChartPick chart={how.chart} onPick={(chart) => again.read({ ...how, chart })} />
      <div className="actions">
        {photoResult === undefined ? (
          <Button
            kind="main"
            isDisabled={running || readings.length === 0}
            onPress={() => again.read(how)}
          >
            Read again
          </Button>
        ) : null}
        {photoResult === undefined || how.corners === undefined ? null : (
          <Button kind="quiet" onPress={() => again.read({ ...byItself, sheet: 'any' })}>
            Find the sheet automatically
          </Button>
        )}
        {photoResult === undefined ||
        photoResult.sheet !== null ||
        how.corners !== undefined ? null : (
          <Button
            kind="quiet"
            onPress={() =>
              again.read({
                ...how,
                corners: cornersToBegin(photoResult.widthPx, photoResult.heightPx),
                sheet: sheetByHand({ sheet: 'any' }, undefined),
              })
            }
          >
            Set the corners of the sheet
          </Button>
        )}
      </div>
      {photoResult === undefined ? null : (
        <div aria-live="polite" className="photo-said">
          <p className="lead">{uncertaintyInWords(photoResult)}</p>
          {corners === undefined ? null : (
            <p className="small soft">
              Drag each numbered corner onto the outer corner of a black square. The photo is read
              again when you release the corner.
            </p>
          )}
          {photoResult.notes.map((note) => (
            <p key={note} className="small">
              {note}
            </p>
          ))}
        </div>
      )}
      {photoResult === undefined ? null : <ReadDetails photoResult={photoResult} />}
    </section>
  );
}

/** The regions of the saved readings. */
function outlines(
  readings: readonly NamedReading[],
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
) {
  return readings.flatMap(({ reading: { body }, title }) => {
    if (body.region === undefined) return [];
    const { left, top, width, height } = body.region;
    const [x, y] = [left * widthPx, top * heightPx];
    const [right, end] = [x + width * widthPx, y + height * heightPx];
    const outline = [
      [x, y],
      [right, y],
      [right, end],
      [x, end],
    ] as const;
    return [{ name: title, outline, quality: 'good' as const }];
  });
}
