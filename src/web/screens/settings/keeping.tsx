import { useJob } from '../../book/job.ts';
import { tell } from '../../book/told.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';
import { JobLine } from '../../parts/job-line.tsx';

/** Looking the book through, and keeping it safe. */
export function Keeping() {
  const job = useJob((done) => {
    const found = done.result?.findings ?? done.result?.troubles;
    const none = !Array.isArray(found) || found.length === 0;
    tell({
      text: none
        ? 'The book was looked through: all is whole.'
        : 'The book was looked through; see below.',
    });
  });
  return (
    <Part title="Keeping it safe">
      <p>
        A copy of the book is made by itself once a day and kept beside it. To put one back, or to
        take one to another computer, use <code>kneadwell backup</code> and{' '}
        <code>kneadwell restore</code>.
      </p>
      <div className="doings">
        <Button isDisabled={job.running} onPress={() => job.start({ do: 'verify' })}>
          Look the book through
        </Button>
      </div>
      <JobLine here={job} what="Looking the book through" />
    </Part>
  );
}
