import type { Job, JobCall, JobDo, JobNews } from '../../api/job-routes.ts';
import { AppError } from '../../core/errors.ts';
import type { ProgressReport } from '../../verbs/progress.ts';
import type { ServerStateStore } from '../server-state.ts';
import { readJob } from './older-jobs.ts';

export interface JobTools {
  readonly signal: AbortSignal;
  readonly progress: (report: ProgressReport) => void;
  /** The answer is less than was asked for: why, in a sentence. */
  readonly fallsShort: (says: string) => void;
  readonly by: string | undefined;
  readonly jobId: string;
}

/**
 * Does one job; a plain JSON answer, or a fault. Soon after the signal says so it stops, with a fault or
 * with the best it has by then.
 */
export type JobRunner<D extends JobDo = JobDo> = (
  call: Extract<JobCall, { do: D }>,
  tools: JobTools,
) => Promise<Readonly<Record<string, unknown>>>;

export type JobRunners = { readonly [D in JobDo]: JobRunner<D> };

export interface JobQueuePorts {
  readonly side: ServerStateStore;
  readonly runners: JobRunners;
  readonly nowEpochMs: () => number;
  readonly newId: () => string;
  /** A fault no person asked for: the list of jobs could not be written. */
  readonly onTrouble?: (fault: unknown) => void;
  /** Turns a fault into what the API tells of it. */
  readonly problemOf: (fault: unknown) => NonNullable<Job['problem']>;
}

export interface JobQueue {
  start(call: JobCall, by?: string): Promise<Job>;
  /** Without the file the job was given. Refuses: no such job -> no-such-job (not-found) */
  get(id: string): Job;
  /** Newest first, without results, and faults without what they list. */
  list(page: { readonly open?: boolean; readonly limit: number }): readonly Job[];
  cancel(id: string): Promise<Job>;
  /** Hears of a job whenever it changes. */
  listen(hear: (news: JobNews) => void): () => void;
  /** Stops what runs; it is done again when the program is next started. */
  stop(): Promise<void>;
}

const SPACE = 'job';
/** Jobs remembered; of older ones even the result is forgotten. */
const KEPT = 200;
const AT_ONCE = 2;
const MOST_WAITING = 50;
/** Progress is reported at most this often. */
const TELL_EVERY_MS = 200;

const ENDED: readonly Job['state'][] = ['done', 'failed', 'cancelled', 'lost'];

/**
 * Long work: taken on, done in turn, remembered over a crash. What was waiting when the program ended is
 * done at the next start. What was running when the program was killed may be what killed it, so it is
 * never started again by itself: it is marked as stopped, with the reason, and the user may ask for it again.
 */
export async function jobQueue(ports: JobQueuePorts): Promise<JobQueue> {
  const { side, runners, nowEpochMs, newId, problemOf } = ports;
  const jobs = new Map<string, Job>();
  const running = new Map<string, { stop: AbortController; ended: Promise<void> }>();
  const hearers = new Set<(news: JobNews) => void>();
  let stopping = false;
  const now = () => new Date(nowEpochMs()).toISOString();

  for (const { key, value } of await side.list(SPACE)) {
    const job = readJob(value, now());
    if (job === undefined) await side.remove(SPACE, key);
    else if (job === value) jobs.set(job.id, job);
    else await keep(job);
  }
  for (const job of byAge(jobs)) {
    if (ENDED.includes(job.state)) continue;
    await keep(job.state === 'running' ? foundLost(job, now()) : { ...job, state: 'waiting' });
  }
  pump();

  return {
    async start(call, by) {
      const waiting = [...jobs.values()].filter(({ state }) => state === 'waiting').length;
      if (waiting >= MOST_WAITING) throw tooMuchWork(waiting);
      const id = newId();
      const job: Job = {
        id,
        call,
        state: 'waiting',
        createdAt: now(),
        lostAt: [],
        ...(by === undefined ? {} : { by }),
      };
      await keep(job);
      await forgetOld();
      pump();
      return light(job);
    },
    get: (id) => light(known(id)),
    list({ open, limit }) {
      const all = byAge(jobs).reverse();
      const some = open === undefined ? all : all.filter((j) => ENDED.includes(j.state) !== open);
      return some.slice(0, limit).map(short);
    },
    async cancel(id) {
      const job = known(id);
      if (ENDED.includes(job.state)) return job;
      const run = running.get(id);
      if (run === undefined) await keep({ ...job, state: 'cancelled', endedAt: now() });
      else {
        run.stop.abort();
        await run.ended;
      }
      return known(id);
    },
    listen(hear) {
      hearers.add(hear);
      return () => void hearers.delete(hear);
    },
    async stop() {
      stopping = true;
      for (const { stop } of running.values()) stop.abort();
      await Promise.all([...running.values()].map(({ ended }) => ended));
    },
  };

  function known(id: string): Job {
    const job = jobs.get(id);
    if (job === undefined) throw noSuchJob(id);
    return job;
  }

  async function keep(given: Job): Promise<void> {
    // Only a job that waits may be started from what is remembered.
    const job = given.state === 'waiting' ? given : light(given);
    await side.put(SPACE, job.id, job);
    jobs.set(job.id, job);
    tell(job);
  }

  function tell(job: Job): void {
    for (const hear of [...hearers]) {
      try {
        hear(newsOf(job));
      } catch (fault) {
        ports.onTrouble?.(fault);
      }
    }
  }

  function pump(): void {
    for (const job of byAge(jobs)) {
      if (stopping || running.size >= AT_ONCE) return;
      if (job.state !== 'waiting' || running.has(job.id)) continue;
      const stop = new AbortController();
      const ended = run(job, stop.signal)
        .catch((fault) => {
          // The disk would not take how it ended; it is found lost at the next start.
          jobs.set(job.id, { ...job, state: 'failed', endedAt: now(), problem: problemOf(fault) });
          ports.onTrouble?.(fault);
        })
        .finally(() => {
          running.delete(job.id);
          pump();
        });
      running.set(job.id, { stop, ended });
    }
  }

  async function run(job: Job, signal: AbortSignal): Promise<void> {
    const started: Job = { ...light(job), state: 'running', startedAt: now() };
    await keep(started);
    let reportedAt = Number.NEGATIVE_INFINITY;
    const progress = (report: ProgressReport) => {
      if (signal.aborted) return;
      const next = { ...started, progress: report };
      jobs.set(job.id, next);
      const at = nowEpochMs();
      if (Math.abs(at - reportedAt) < TELL_EVERY_MS) return;
      reportedAt = at;
      tell(next);
    };
    let short: Pick<Job, 'says'> | undefined;
    const fallsShort = (says: string) => {
      short = { says };
    };
    const tools = { signal, progress, fallsShort, by: job.by, jobId: job.id };
    const ended = await outcome(job, tools);
    const whole = ended.state === 'done' && short === undefined;
    // What was whole before the stop was heard is done: an import that was kept must not be called cancelled.
    if (!signal.aborted || whole) await keep({ ...started, ...ended, ...short, endedAt: now() });
    else if (stopping) await keep({ ...job, state: 'waiting' });
    else {
      const { result } = ended;
      const best = result === undefined ? {} : { result, ...short };
      await keep({ ...started, ...best, state: 'cancelled', endedAt: now() });
    }
  }

  async function outcome(job: Job, tools: JobTools): Promise<Pick<Job, 'state'> & Partial<Job>> {
    try {
      const runner = runners[job.call.do] as JobRunner;
      return { state: 'done', result: { ...(await runner(job.call, tools)) } };
    } catch (fault) {
      return { state: 'failed', problem: problemOf(fault) };
    }
  }

  async function forgetOld(): Promise<void> {
    const ended = byAge(jobs).filter(({ state }) => ENDED.includes(state));
    for (const { id } of ended.slice(0, Math.max(0, jobs.size - KEPT))) {
      await side.remove(SPACE, id);
      jobs.delete(id);
    }
  }
}

function foundLost(job: Job, at: string): Job {
  const { startedAt: _, progress: __, ...rest } = job;
  return {
    ...rest,
    state: 'lost',
    lostAt: [...job.lostAt, at],
    endedAt: at,
    says: 'Kneadwell was stopped while this was being done. Nothing more is done about it. Start it again if you still want it.',
  };
}

/** A few words: every open page hears them, and what may be long is for those who ask for the job. */
function newsOf({ id, call, state, progress }: Job): JobNews {
  return { id, do: call.do, state, ...(progress === undefined ? {} : { progress }) };
}

function short(job: Job): Job {
  const { result: _, problem, ...rest } = job;
  if (problem === undefined) return light(rest);
  const { more: __, fields: ___, ...plain } = problem;
  return light({ ...rest, problem: plain });
}

/** Without the file it was given. */
function light(job: Job): Job {
  return job.call.do === 'import' ? { ...job, call: { ...job.call, text: '' } } : job;
}

function byAge(jobs: ReadonlyMap<string, Job>): Job[] {
  // Kept in order of age within a run; over a restart by the moment they were asked for.
  return [...jobs.values()].sort((one, other) =>
    one.createdAt < other.createdAt ? -1 : one.createdAt > other.createdAt ? 1 : 0,
  );
}

function noSuchJob(id: string): AppError {
  return new AppError({
    code: 'no-such-job',
    kind: 'not-found',
    detail: `There is no job ${id}.`,
    hint: 'Only the newest jobs are remembered; the list shows them.',
    more: { id },
  });
}

function tooMuchWork(waiting: number): AppError {
  return new AppError({
    code: 'too-much-work',
    kind: 'unavailable',
    detail: `${waiting} jobs are waiting already.`,
    hint: 'Let some of them end, or stop them, and ask again.',
    retry: true,
  });
}
