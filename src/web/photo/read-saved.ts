import type { Job } from '../../api/job-routes.ts';
import type { PhotoResult } from '../../domain/photo-result.ts';
import { client } from '../book/client.ts';
import type { ChartAsked, PhotoHere, SheetAsked, Tap } from './photo-session-store.ts';
import { pairReadings, type SavedReading, tapsOf } from './saved-again.ts';

/** How to read a saved photo. */
export interface ReadSettings {
  readonly sheet: SheetAsked;
  readonly chart: ChartAsked;
  readonly corners?: PhotoHere['corners'] & {};
  readonly chartAt?: PhotoHere['chartAt'] & {};
}

export type SavedRead = { readonly photoResult: PhotoResult } | { readonly no: string };

const LOOK_MS = 500;

/**
 * Reads a saved photo again: by its sheet first; earlier readings on no place of the sheet are then read
 * where they were. Nothing is saved.
 * Returns: the reading, or why it stopped or failed
 */
export async function readSaved(
  photoId: string,
  readings: readonly SavedReading[],
  how: ReadSettings,
  signal: AbortSignal,
): Promise<SavedRead> {
  const read = await readOnce(photoId, how, [], signal);
  if ('no' in read) return read;
  const { photoResult: first } = read;
  const pairs = pairReadings(readings, first);
  const lost = readings.filter(({ id }) => !pairs.has(id));
  if (lost.length === 0) return read;
  const { corners: _, ...bare } = how;
  const again = first.sheet === null ? { ...bare, sheet: 'none' as const } : how;
  return readOnce(photoId, again, tapsOf(lost, first), signal);
}

async function readOnce(
  photoId: string,
  { sheet, chart, corners, chartAt }: ReadSettings,
  taps: readonly Tap[],
  signal: AbortSignal,
): Promise<SavedRead> {
  const { body } = await client.call('startJob', {
    body: {
      do: 'read-photo',
      photo: { photoId },
      sheet,
      chart,
      findTiles: false,
      taps: taps.map(({ name, at: [x, y] }) => ({ name, at: [x, y] as [number, number] })),
      controls: [],
      ...(chartAt === undefined ? {} : { chartAt: [chartAt[0], chartAt[1]] as [number, number] }),
      ...(corners === undefined || sheet === 'none' ? {} : { corners: corners as never }),
    },
  });
  let job = body as Job;
  while (job.state === 'waiting' || job.state === 'running') {
    await new Promise((go) => setTimeout(go, LOOK_MS));
    if (signal.aborted) {
      void client.call('cancelJob', { params: { id: job.id } }).catch(() => {});
      return { no: 'Stopped. Nothing was changed.' };
    }
    job = (await client.call('getJob', { params: { id: job.id } })).body as Job;
  }
  if (job.state === 'done') return { photoResult: job.result?.photo as PhotoResult };
  const { detail, hint } = job.problem ?? {};
  return {
    no:
      detail === undefined
        ? (job.says ?? 'Stopped before it was done. Please try again.')
        : `${detail} ${hint}`,
  };
}
