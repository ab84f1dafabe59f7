import { useQueries } from '@tanstack/react-query';
import { useCallback } from 'react';
import type { Job } from '../../contract/api/job-routes.ts';
import type { PhotoTold } from '../../contract/photo-told.ts';
import { client } from '../book/client.ts';
import type { PhotoHere } from './photo-desk.ts';

/** A photo with its newest reading; while it is read anew, the one before stands. */
export interface PhotoRead {
  readonly photo: PhotoHere;
  readonly job: Job | undefined;
  readonly running: boolean;
  readonly told: PhotoTold | undefined;
}

const LOOK_MS = 700;
/** The last reading of each photo, shown till the next has come. */
const before = new Map<string, PhotoTold>();

export function usePhotoReads(photos: readonly PhotoHere[]): readonly PhotoRead[] {
  const combine = useCallback(
    (jobs: readonly { readonly data: Job | undefined; readonly error: Error | null }[]) =>
      photos.map((photo, i): PhotoRead => {
        const { data: job, error } = jobs[i];
        const running = photo.jobId === undefined || (isOpen(job) && error === null);
        if (job?.state === 'done') before.set(photo.draftId, job.result?.photo as PhotoTold);
        return { photo, job, running, told: before.get(photo.draftId) };
      }),
    [photos],
  );
  return useQueries({
    queries: photos.map(({ jobId }) => ({
      queryKey: ['job', jobId],
      queryFn: async () => (await client.call('getJob', { params: { id: jobId! } })).body as Job,
      enabled: jobId !== undefined,
      refetchInterval: ({ state }: { state: { data?: Job | undefined } }) =>
        isOpen(state.data) ? LOOK_MS : (false as const),
    })),
    combine,
  });
}

function isOpen(job: Job | undefined): boolean {
  return job === undefined || job.state === 'waiting' || job.state === 'running';
}
