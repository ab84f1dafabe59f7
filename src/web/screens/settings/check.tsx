import { useQuery } from '@tanstack/react-query';
import { client } from '../../book/client.ts';
import { useJob } from '../../book/job.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';
import { JobLine } from '../../parts/job-line.tsx';
import { useOwner } from './use-owner.ts';

interface Finding {
  readonly status: 'sound' | 'look' | 'broken';
  readonly what: string;
  readonly mend?: string;
}

const STATUS: Readonly<Record<Finding['status'], string>> = {
  sound: 'OK',
  look: 'Warning',
  broken: 'Error',
};

/** Checks program, folder, book and backups, and says what is wrong and how to fix it. */
export function Check() {
  const job = useJob();
  const owner = useOwner();
  const { data } = useQuery({
    queryKey: ['health'],
    queryFn: async () => (await client.call('health', {})).body,
  });
  const done = job.job?.state === 'done' ? job.job.result : undefined;
  const findings = (done?.findings ?? []) as readonly Finding[];
  const wanting = findings.filter(({ status }) => status !== 'sound');
  return (
    <Part title="Check the book">
      <p className="soft">
        Checks all records, photos and the newest backup for damage.
        {data === undefined ? '' : ` Version: Kneadwell ${data.version}.`}
      </p>
      {owner === false ? (
        <p className="soft">Check the book on the computer that has it.</p>
      ) : (
        <div className="actions">
          <Button isDisabled={job.running} onPress={() => job.start({ do: 'doctor' })}>
            Check now
          </Button>
        </div>
      )}
      <JobLine here={job} what="Checking" />
      {done === undefined ? null : (
        <div role="status">
          <p>{wanting.length === 0 ? 'Everything is fine.' : 'Please check:'}</p>
          <ul className="findings">
            {(wanting.length === 0 ? findings : wanting).map(({ status, what, mend }) => (
              <li key={what}>
                <b>{STATUS[status]}.</b> {what} {mend ?? ''}
              </li>
            ))}
          </ul>
        </div>
      )}
    </Part>
  );
}
