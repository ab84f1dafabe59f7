import { answered } from '../core/find/work-steps.ts';
import type { SeekQuestion } from '../core/find/find-plan.ts';
import { type Sought as Found, seeking } from '../core/find/find-answer.ts';
import { type OpenClay, openClay } from './open-clay.ts';
import type { Ports } from './ports.ts';

export interface SeekCall extends SeekQuestion {
  /** Path of a clay file. */
  readonly clay: string;
  /** Path of a stock file, in place of `stock`. */
  readonly stockFile?: string;
}

export interface Sought extends Found {
  readonly searchMs: number;
}

/**
 * The whole-part recipes of a set of clays that come nearest to an aim.
 * Refuses: as `seeking` and `openClay`
 * Returns: as `seeking`; `proven` false and the best so far when `ports.stopped` says so or its time is over
 */
export async function seek(ports: Ports, call: SeekCall): Promise<Sought> {
  const { stockFile } = call;
  const clay = await openClay(ports, call.clay);
  if (stockFile === undefined) return seekIn(ports, clay, call);
  const stock = ports.readers.stock(await ports.files.read(stockFile), stockFile);
  return seekIn(ports, clay, { ...call, stock });
}

/** `seek` in a clay model at hand. */
export async function seekIn(
  ports: Ports,
  clay: OpenClay,
  question: SeekQuestion,
): Promise<Sought> {
  const started = ports.nowMs();
  let searchMs = 0;
  const found = await answered(seeking(clay, question), {
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
