import { type Job, type JobDo, OWNER_JOBS } from '../api/job-routes.ts';
import { inspectInBook, predictInBook } from '../book/jobs/clay-jobs.ts';
import type { ServerDependencies } from './dependencies.ts';
import { type Caller, ownerOnly } from './guard.ts';
import type { Handlers } from './handler.ts';

export function workHandlers({
  book,
  jobs,
  work,
}: ServerDependencies): Handlers<
  'inspectClay' | 'predict' | 'startJob' | 'listJobs' | 'getJob' | 'cancelJob'
> {
  return {
    async inspectClay({ params: { id }, query: { light, observer } }) {
      const viewing = { light, observer: observer === '2' ? 2 : 10 } as const;
      const { record, answer } = await inspectInBook(book, work, { id, viewing });
      const { clays, report, basis, explanations } = answer;
      const blocks = new Map(record.body.clays.map(({ name, blockId }) => [name, blockId]));
      const named = clays.map((clay) => {
        const blockId = blocks.get(clay.name);
        return { ...clay, ...(blockId === undefined ? {} : { blockId }) };
      });
      return {
        body: {
          id,
          name: record.body.name,
          basis,
          clays: named,
          report,
          ...(explanations === undefined ? {} : { explanations }),
        },
      };
    },
    async predict({ params: { id }, body: question }) {
      return { body: await predictInBook(book, work, { id, ...question }) };
    },
    async startJob({ body }, { by, caller }) {
      if (!maySee(caller, body)) throw ownerOnly();
      const job = await jobs.start(body, by);
      return { body: job, headers: { location: `/api/v1/jobs/${job.id}` } };
    },
    async listJobs({ query: { open, limit } }, { caller }) {
      const all = jobs.list({
        limit: Number.POSITIVE_INFINITY,
        ...(open === undefined ? {} : { open }),
      });
      return { body: { jobs: all.filter(({ call }) => maySee(caller, call)).slice(0, limit) } };
    },
    async getJob({ params }, { caller }) {
      return { body: jobFor(caller, params.id) };
    },
    async cancelJob({ params }, { caller }) {
      return { body: await jobs.cancel(jobFor(caller, params.id).id) };
    },
  };

  function jobFor(caller: Caller, id: string): Job {
    const job = jobs.get(id);
    if (!maySee(caller, job.call)) throw ownerOnly();
    return job;
  }
}

/** Whether a caller may ask for a kind of work, and hear of it. */
export function maySee({ owner }: Caller, call: { readonly do: JobDo }): boolean {
  return owner || !OWNER_JOBS.includes(call.do);
}
