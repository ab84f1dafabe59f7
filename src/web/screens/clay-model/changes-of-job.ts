import type { Job } from '../../../api/job-routes.ts';
import type { LearnAnswer } from '../../../verbs/learn.ts';

export type Changes = NonNullable<LearnAnswer['changes']>;

/** What a learning job found against the model in use. */
export function changesOfJob(job: Job | undefined): {
  readonly changes: Changes | undefined;
  readonly notes: readonly string[];
} {
  const { changes, notes } = (job?.result ?? {}) as Partial<Pick<LearnAnswer, 'changes' | 'notes'>>;
  return { changes, notes: notes ?? [] };
}

/** Whether a job only compares. */
export function onlyCompares(job: Job | undefined): boolean {
  return job?.call.do === 'learn' && job.call.check === true;
}
