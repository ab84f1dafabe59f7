import type { JobHere } from '../book/job.ts';
import { JobProgress } from './job-progress.tsx';

/** A running job, or why it ended without a result. */
export function JobLine({ here, what }: { readonly here: JobHere; readonly what: string }) {
  const { job, running, stop } = here;
  if (running) {
    const { what: said, done, total } = job?.progress ?? {};
    const share =
      done === undefined || total === undefined || total === 0
        ? undefined
        : Math.min(1, done / total);
    return <JobProgress what={said ?? what} share={share} onStop={stop} />;
  }
  if (job === undefined || job.state === 'done') return null;
  if (job.state === 'cancelled') return <p className="soft">Stopped. Nothing was changed.</p>;
  const problem = job.problem;
  return (
    <p className="field-no" role="status">
      {problem === undefined
        ? (job.says ?? 'Stopped before it was done. Please try again.')
        : `${problem.detail} ${problem.hint}`}
    </p>
  );
}
