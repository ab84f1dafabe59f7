import type { SearchRun } from '../search/search-options.ts';

/** Long work, piece by piece; how far it has come where it can tell. */
type Work = Pick<SearchRun, 'step'> & Partial<Pick<SearchRun, 'settled' | 'total'>>;

/** Time that several searches on the side share. */
export interface Budget {
  readonly ms: number;
}

/** A search that a question needs done before it can go on. */
export interface Task {
  /** What is being done, for whoever waits. */
  readonly what: string;
  readonly run: Work;
  /** So long it may take; till its end when absent. */
  readonly withinMs?: number;
  /** Shared with others: begun with the first of them. */
  readonly budget?: Budget;
  /** Of the search itself: tells what it has found so far. */
  readonly tell?: () => void;
}

/** How a task ended; after `budget over` and `stopped` no more is worth asking. */
export type StepEnd = 'whole' | 'out of time' | 'budget over' | 'stopped';

/**
 * A question being answered: it names the next search, and is told how that ended. So the answer
 * needs neither clock nor thread, and whoever asks keeps both.
 */
export type WorkSteps<T> = Generator<Task, T, StepEnd>;

/** The clock of whoever asks, and her ear between two pieces of work. */
export interface Pace {
  /** Milliseconds from any beginning; only differences are used. */
  readonly nowMs: () => number;
  /** Lets the shell draw and hear. */
  readonly breathe: () => Promise<void>;
  readonly stopped?: () => boolean;
  /** After every piece of work. */
  readonly worked?: (task: Task) => void;
  readonly ended?: (task: Task, how: StepEnd) => void;
}

/** A piece of work is made to take so long, so that a stop is heard within a twentieth of a second. */
const PIECE_MS = 15;
const FIRST_STEP = 500;
const STEPS = [50, 1_000_000] as const;

/** Does what a question asks for, in pieces, until it has its answer. */
export async function answered<T>(asking: WorkSteps<T>, pace: Pace): Promise<T> {
  const begun = new Map<Budget, number>();
  let next = asking.next();
  while (next.done !== true) {
    const task = next.value;
    const how = await worked(task, pace, begun);
    pace.ended?.(task, how);
    next = asking.next(how);
  }
  return next.value;
}

async function worked(task: Task, pace: Pace, begun: Map<Budget, number>): Promise<StepEnd> {
  const { run, withinMs, budget } = task;
  const startMs = pace.nowMs();
  const endMs = startMs + (withinMs ?? Number.POSITIVE_INFINITY);
  let overMs = Number.POSITIVE_INFINITY;
  if (budget !== undefined) {
    if (!begun.has(budget)) begun.set(budget, startMs);
    overMs = begun.get(budget)! + budget.ms;
  }
  let step = FIRST_STEP;
  for (;;) {
    const before = pace.nowMs();
    if (run.step(Math.round(step))) return 'whole';
    const faster = PIECE_MS / Math.max(0.1, pace.nowMs() - before);
    step = Math.min(STEPS[1], Math.max(STEPS[0], step * Math.min(2, faster)));
    pace.worked?.(task);
    await pace.breathe();
    if (pace.stopped?.() === true) return 'stopped';
    const nowMs = pace.nowMs();
    if (nowMs > overMs) return 'budget over';
    if (nowMs > endMs) return 'out of time';
  }
}
