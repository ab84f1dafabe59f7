import { useQueries } from '@tanstack/react-query';
import { useCallback } from 'react';
import type { Job } from '../../api/job-routes.ts';
import { AppError } from '../../core/errors.ts';
import type { PhotoResult } from '../../domain/photo-result.ts';
import { client } from '../book/client.ts';
import type { PhotoHere } from './photo-session-store.ts';

/** A photo with its newest reading; while it is read again, the previous one is shown. */
export interface PhotoRead {
  readonly photo: PhotoHere;
  readonly job: Job | undefined;
  /** Waiting to be read, or being read. */
  readonly running: boolean;
  /** Why the photo is not read, where no reading is running. */
  readonly no: string | undefined;
  readonly photoResult: PhotoResult | undefined;
}

const LOOK_MS = 700;
/** The last reading of each photo, shown until the next one is there. */
const before = new Map<string, PhotoResult>();

export function usePhotoReads(photos: readonly PhotoHere[]): readonly PhotoRead[] {
  const combine = useCallback(
    (jobs: readonly { readonly data: Job | undefined; readonly error: Error | null }[]) =>
      photos.map((photo, i): PhotoRead => {
        const { data: job, error } = jobs[i];
        // A call without an answer is repeated; a job the server no longer has never ends.
        const no = photo.unread ?? (isForgotten(error) ? FORGOTTEN : undefined);
        const running = no === undefined && (photo.due === true || isOpen(job));
        if (job?.state === 'done') before.set(photo.draftId, job.result?.photo as PhotoResult);
        return { photo, job, running, no, photoResult: before.get(photo.draftId) };
      }),
    [photos],
  );
  return useQueries({
    queries: photos.map(({ jobId }) => ({
      queryKey: ['job', jobId],
      queryFn: async () => (await client.call('getJob', { params: { id: jobId! } })).body as Job,
      enabled: jobId !== undefined,
      refetchInterval: ({ state }: { state: { data?: Job | undefined; error: Error | null } }) =>
        isOpen(state.data) && !isForgotten(state.error) ? LOOK_MS : (false as const),
    })),
    combine,
  });
}

const FORGOTTEN = 'The reading of this photo was lost. Press Read again.';

function isForgotten(fault: Error | null): boolean {
  return fault instanceof AppError && fault.kind === 'not-found';
}

function isOpen(job: Job | undefined): boolean {
  return job === undefined || job.state === 'waiting' || job.state === 'running';
}
