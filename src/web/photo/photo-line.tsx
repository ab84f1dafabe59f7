import { Button } from '../parts/button.tsx';
import { count } from '../screens/count.ts';
import { arrivalOf, type Coming } from './bring-photo.ts';
import type { PhotoRead } from './photo-reads.ts';

/** The progress of several photos, in the order they were added. */
export function PhotoLine({
  reads,
  coming,
}: {
  readonly reads: readonly PhotoRead[];
  readonly coming: readonly Coming[];
}) {
  if (reads.length + coming.length < 2) return null;
  const lines = [
    ...reads.map((read) => ({
      at: arrivalOf(read.photo.draftId),
      draftId: read.photo.draftId,
      fileName: read.photo.fileName,
      says: stageInWords(read),
    })),
    ...coming.map(({ key, fileName, stage }) => ({
      at: key,
      draftId: undefined,
      fileName,
      says: stage === 'sent' ? 'uploading' : 'waiting',
    })),
  ].sort((one, other) => one.at - other.at);
  return (
    <ol className="photo-line" aria-label="Photos">
      {lines.map(({ at, draftId, fileName, says }) => (
        <li key={draftId ?? at}>
          {draftId === undefined ? (
            <span className="photo-line-name">{fileName}</span>
          ) : (
            <Button kind="quiet" onPress={() => goTo(draftId)}>
              {fileName}
            </Button>
          )}
          <span className="soft small">{says}</span>
        </li>
      ))}
    </ol>
  );
}

function stageInWords({ job, running, no, photoResult }: PhotoRead): string {
  if (no !== undefined) return 'not read yet';
  if (running) return job?.progress === undefined ? 'waiting' : 'reading';
  if (job?.state === 'cancelled') return 'stopped';
  if (job?.state !== 'done' || photoResult === undefined) return 'could not be read';
  return photoResult.tiles.length === 0
    ? 'no tiles found'
    : count(photoResult.tiles.length, 'tile');
}

export const panelId = (draftId: string) => `photo-${draftId}`;

function goTo(draftId: string): void {
  const panel = document.getElementById(panelId(draftId));
  panel?.scrollIntoView({ block: 'start' });
  panel?.focus({ preventScroll: true });
}
