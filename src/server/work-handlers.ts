import { inspectInBook, predictInBook } from '../book/jobs/clay-jobs.ts';
import type { ServerDependencies } from './dependencies.ts';
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
      const { clays, report, basis } = answer;
      const blocks = new Map(record.body.clays.map(({ name, blockId }) => [name, blockId]));
      const named = clays.map((clay) => {
        const blockId = blocks.get(clay.name);
        return { ...clay, ...(blockId === undefined ? {} : { blockId }) };
      });
      return { body: { id, name: record.body.name, basis, clays: named, report } };
    },
    async predict({ params: { id }, body: question }) {
      return { body: await predictInBook(book, work, { id, ...question }) };
    },
    async startJob({ body }, { by }) {
      const job = await jobs.start(body, by);
      return { body: job, headers: { location: `/api/v1/jobs/${job.id}` } };
    },
    async listJobs({ query: { open, limit } }) {
      return { body: { jobs: jobs.list({ limit, ...(open === undefined ? {} : { open }) }) } };
    },
    async getJob({ params }) {
      return { body: jobs.get(params.id) };
    },
    async cancelJob({ params }) {
      return { body: await jobs.cancel(params.id) };
    },
  };
}
