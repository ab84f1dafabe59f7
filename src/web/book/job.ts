import { useQuery } from '@tanstack/react-query';
import { useEffect, useState } from 'react';
import type { Job, JobAsk, JobDo } from '../../api/job-routes.ts';
import { wordsOf } from './change.ts';
import { client } from './client.ts';
import { showNotice } from './notice.ts';

export interface JobHere {
  readonly job: Job | undefined;
  readonly running: boolean;
  readonly start: (call: JobAsk) => void;
  readonly stop: () => void;
}

/** Events report progress; polling covers a lost one. */
const LOOK_MS = 1500;

/**
 * One job of a screen: starts it, follows it, stops it. With `adopt`, a job of that kind that runs
 * already (started on another screen or device) is shown as this screen's own.
 */
export function useJob(onDone?: (job: Job) => void, adopt?: JobDo): JobHere {
  const [begun, setId] = useState<string | undefined>();
  const { data: runs } = useQuery({
    queryKey: ['jobs', 'open', adopt],
    queryFn: async () => {
      const { body } = await client.call('listJobs', { query: { open: 'true', limit: 20 } });
      return (body.jobs as readonly Job[]).find(({ call }) => call.do === adopt)?.id ?? null;
    },
    enabled: adopt !== undefined && begun === undefined,
  });
  // An adopted job is followed to its end, when the list of open jobs no longer has it.
  useEffect(() => {
    if (typeof runs === 'string') setId((before) => before ?? runs);
  }, [runs]);
  const id = begun;
  const { data: job } = useQuery({
    queryKey: ['job', id],
    queryFn: async () => (await client.call('getJob', { params: { id: id! } })).body as Job,
    enabled: id !== undefined,
    refetchInterval: ({ state }) => (isOpen(state.data) ? LOOK_MS : false),
  });
  const running = id !== undefined && isOpen(job);
  const state = job?.state;
  // biome-ignore lint/correctness/useExhaustiveDependencies: once per job, however often it renders
  useEffect(() => {
    if (job !== undefined && state === 'done') onDone?.(job);
  }, [state, id]);
  return {
    job,
    running,
    start: (call) => {
      client
        .call('startJob', { body: call })
        .then(({ body }) => setId((body as Job).id))
        .catch((fault: unknown) => showNotice({ text: wordsOf(fault) }));
    },
    stop: () => {
      if (id !== undefined) void client.call('cancelJob', { params: { id } });
    },
  };
}

function isOpen(job: Job | undefined): boolean {
  return job === undefined || job.state === 'waiting' || job.state === 'running';
}
