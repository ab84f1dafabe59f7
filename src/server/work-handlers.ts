import { inspectInBook, predictInBook } from '../book/jobs/clay-jobs.ts';
import type { ApiAnswer } from '../api/routes.ts';
import type { Handlers } from './handler.ts';
import type { ServerParts } from './dependencies.ts';

export function workHandlers({
  book,
  jobs,
  work,
}: ServerParts): Handlers<
  'inspectClay' | 'predict' | 'startJob' | 'listJobs' | 'getJob' | 'cancelJob'
> {
  return {
    async inspectClay({ params: { id }, query: { light, observer } }) {
      const viewing = { light, observer: observer === '2' ? 2 : 10 } as const;
      const { record, answer } = await inspectInBook(book, work, { id, viewing });
      const { parents, report, basis } = answer as unknown as ApiAnswer<'inspectClay'>;
      const blocks = new Map(record.body.parents.map(({ name, blockId }) => [name, blockId]));
      const named = parents.map((parent) => {
        const blockId = blocks.get(parent.name);
        return { ...parent, ...(blockId === undefined ? {} : { blockId }) };
      });
      return { body: { id, name: record.body.name, basis, parents: named, report } };
    },
    async predict({ params: { id }, body: { wanted, viewing } }) {
      const call = { id, wanted, ...(viewing === undefined ? {} : { viewing }) };
      const answer = await predictInBook(book, work, call);
      return { body: answer as unknown as ApiAnswer<'predict'> };
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
