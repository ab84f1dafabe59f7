import { type FindAnswer as Found, finding } from '../core/find/find-answer.ts';
import type { FindQuestion } from '../core/find/find-plan.ts';
import { answered } from '../core/find/work-steps.ts';
import { type OpenClay, openClay } from './open-clay.ts';
import type { Ports } from './ports.ts';

export interface FindCall extends FindQuestion {
  /** Path of a clay file. */
  readonly clay: string;
  /** Path of a stock file, in place of `stock`. */
  readonly stockFile?: string;
}

export interface FindAnswer extends Found {
  readonly searchMs: number;
}

/**
 * The whole-part recipes of a set of clays that come nearest to an aim.
 * Refuses: as `finding` and `openClay`
 * Returns: as `finding`; `proven` false and the best so far when `ports.stopped` says so or its time is over
 */
export async function find(ports: Ports, call: FindCall): Promise<FindAnswer> {
  const { stockFile } = call;
  const clay = await openClay(ports, call.clay);
  if (stockFile === undefined) return findIn(ports, clay, call);
  const stock = ports.readers.stock(await ports.files.read(stockFile), stockFile);
  return findIn(ports, clay, { ...call, stock });
}

/** `find` in a clay model at hand. */
export async function findIn(
  ports: Ports,
  clay: OpenClay,
  question: FindQuestion,
): Promise<FindAnswer> {
  const started = ports.nowMs();
  let searchMs = 0;
  const found = await answered(finding(clay, question), {
    nowMs: ports.nowMs,
    breathe: ports.breathe,
    stopped: () => ports.stopped?.() === true,
    worked({ what, run: { settled, total } }) {
      const far = settled === undefined || total === undefined ? undefined : settled * total;
      ports.progress({ what, ...(far === undefined ? {} : { done: Math.floor(far), total }) });
    },
    ended({ tell }) {
      if (tell !== undefined) searchMs = ports.nowMs() - started;
    },
  });
  return { ...found, searchMs };
}
