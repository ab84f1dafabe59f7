import { AppError } from '../errors.ts';
import type { LinearProblem, LinearSolution, Optimiser } from '../numeric/linear-problem.ts';
import type { SearchRun } from '../search/search-options.ts';

/** Long work, piece by piece, with its progress where it is known. */
type Work = Pick<SearchRun, 'step'> & Partial<Pick<SearchRun, 'settled' | 'total'>>;

/** A search that must finish before the question can go on. */
export interface Task {
  /** What is being done, shown to the user. */
  readonly what: string;
  readonly run: Work;
  /** Time limit of the search; none when absent. */
  readonly withinMs?: number;
  /** Reports what the search has found so far. */
  readonly tell?: () => void;
  /** A problem for the optimiser of the shell, solved before the search begins. */
  readonly solve?: {
    readonly problem: LinearProblem;
    readonly take: (solution: LinearSolution | undefined) => void;
  };
}

/** How a task ended; after `stopped` no more searches are worth starting. */
export type StepEnd = 'whole' | 'out of time' | 'stopped';

/**
 * A question being answered: it yields the next search and receives how that search ended. The
 * answer therefore needs no clock and no thread; the caller has both.
 */
export type WorkSteps<T> = Generator<Task, T, StepEnd>;

/** Work that is done in one piece. */
export function* once<T>(what: string, work: () => T): WorkSteps<T> {
  const made: T[] = [];
  const step = () => made.push(work()) > 0;
  yield { what, run: { step } };
  return made[0];
}

/** A problem that the optimiser of the shell solves; nothing where it found no solution. */
export function* solved(
  problem: LinearProblem,
  what: string,
): WorkSteps<LinearSolution | undefined> {
  let found: LinearSolution | undefined;
  yield {
    what,
    run: { step: () => true },
    solve: {
      problem,
      take(solution) {
        found = solution;
      },
    },
  };
  return found;
}

/** Steps of limited work are taken so many at a time. */
const LIMITED_STEPS = 500;

/**
 * A side search that ends after so many steps at the latest. The steps are taken in pieces of one size, so that
 * a slow or busy computer finds the same.
 */
export function limitedTo(most: number, run: Pick<Work, 'step'>): Work {
  let left = most;
  return {
    step(steps) {
      for (let taken = 0; taken < steps; taken += LIMITED_STEPS) {
        if (left <= 0 || run.step(LIMITED_STEPS)) return true;
        left -= LIMITED_STEPS;
      }
      return left <= 0;
    },
    total: most,
    get settled() {
      return (most - Math.max(0, left)) / most;
    },
  };
}

/** The caller's clock, and its pauses between two pieces of work. */
export interface Pace {
  /** Milliseconds since any start; only differences are used. */
  readonly nowMs: () => number;
  /** Lets the shell draw and take input. */
  readonly breathe: () => Promise<void>;
  readonly stopped?: () => boolean;
  /** Opens the optimiser when a question first needs one. */
  readonly optimiser?: () => Promise<Optimiser>;
  /** Called before the first piece of a task; the shell may then draw. */
  readonly begun?: (task: Task) => void;
  /** Called after every piece of work. */
  readonly worked?: (task: Task) => void;
  readonly ended?: (task: Task, how: StepEnd) => void;
}

/** Length of a piece of work, ms, so that a stop takes effect within a twentieth of a second. */
const PIECE_MS = 15;
const FIRST_STEP = 500;
const STEPS = [50, 1_000_000] as const;
const LONG_STEP = 100_000;

/** Runs the searches of a question, in pieces, until the answer is complete. */
export async function answered<T>(asking: WorkSteps<T>, pace: Pace): Promise<T> {
  let next = asking.next();
  while (next.done !== true) {
    const task = next.value;
    const how = await worked(task, pace);
    pace.ended?.(task, how);
    next = asking.next(how);
  }
  return next.value;
}

/** The answer where nobody waits, draws or stops: every search is run to its end, without a clock or an optimiser. */
export function answeredAtOnce<T>(asking: WorkSteps<T>): T {
  let next = asking.next();
  while (next.done !== true) {
    while (!next.value.run.step(LONG_STEP));
    next = asking.next('whole');
  }
  return next.value;
}

async function worked(task: Task, pace: Pace): Promise<StepEnd> {
  const { run, withinMs, solve } = task;
  const endMs = pace.nowMs() + (withinMs ?? Number.POSITIVE_INFINITY);
  pace.begun?.(task);
  // Work that does not count its steps may be one long piece: what is begun is drawn before it.
  if (solve !== undefined || (pace.begun !== undefined && run.total === undefined)) {
    await pace.breathe();
  }
  if (solve !== undefined) {
    // The optimiser hears nothing while it works: a stop takes effect before it begins.
    if (pace.stopped?.() === true) return 'stopped';
    if (pace.optimiser === undefined) throw noOptimiser();
    solve.take((await pace.optimiser())(solve.problem));
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
    if (pace.nowMs() > endMs) return 'out of time';
  }
}

function noOptimiser(): AppError {
  return new AppError({
    code: 'no-optimiser',
    kind: 'unavailable',
    detail: 'This question needs an optimiser, and none is opened here.',
    hint: 'Ask the question on the page or on the command line.',
  });
}
