import { type Job, jobCallSchema } from '../../api/job-routes.ts';

/** Names in the call of a job that version 0.1 gave otherwise. */
const RENAMED: Readonly<Record<string, string>> = {
  mostParents: 'mostClays',
  parent: 'clay',
  giveUp: 'relax',
};

/**
 * A job as it was remembered, by this version or an older one. What an older program was asked and had not
 * ended is lost: its call may mean something else here, so nobody does it unasked.
 * Returns: nothing where it cannot be read at all
 */
export function readJob(value: unknown, at: string): Job | undefined {
  if (!isObject(value) || !isObject(value.call)) return undefined;
  const job = value as unknown as Job;
  if (jobCallSchema.safeParse(job.call).success) return job;
  const older = jobCallSchema.safeParse(callOfToday(value.call));
  if (!older.success) return undefined;
  const { progress: _, ...rest } = job;
  const now = { ...rest, call: older.data };
  if (job.state !== 'waiting' && job.state !== 'running') return now;
  return {
    ...now,
    state: 'lost',
    endedAt: at,
    says: 'An older version of Kneadwell was asked for this and did not finish. Nothing was saved. Start it again if you still want it.',
  };
}

function callOfToday(call: Record<string, unknown>): unknown {
  return renamed(call.do === 'seek' ? { ...call, do: 'find' } : call);
}

function renamed(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(renamed);
  if (!isObject(value)) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, inner]) => [
      Object.hasOwn(RENAMED, name) ? RENAMED[name] : name,
      renamed(inner),
    ]),
  );
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
