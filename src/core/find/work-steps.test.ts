import { describe, expect, it } from 'vitest';
import {
  answered,
  limitedTo,
  type StepEnd,
  solved,
  type Task,
  type WorkSteps,
} from './work-steps.ts';

/** A clock that advances by a fixed time with every piece of work. */
function clockOf(pieceMs: number) {
  let ms = 0;
  return { nowMs: () => ms, work: () => (ms += pieceMs) };
}

/** Work of a number of pieces. */
function piecesOf(pieces: number, work: () => void): Task['run'] {
  let left = pieces;
  return {
    step: () => {
      work();
      left--;
      return left <= 0;
    },
  };
}

function* asks(tasks: readonly Task[]): WorkSteps<StepEnd[]> {
  const ends: StepEnd[] = [];
  for (const task of tasks) ends.push(yield task);
  return ends;
}

describe('a question that is answered in pieces', () => {
  it('has every search run to its end without limits', async () => {
    const clock = clockOf(10);
    let breaths = 0;
    const tasks = [3, 1].map((n) => ({ what: 'work', run: piecesOf(n, clock.work) }));
    const breathe = async () => {
      breaths++;
    };
    expect(await answered(asks(tasks), { nowMs: clock.nowMs, breathe })).toEqual([
      'whole',
      'whole',
    ]);
    expect(breaths).toBe(2);
    expect(clock.nowMs()).toBe(40);
  });

  it('leaves a search for the next where its time is over', async () => {
    const clock = clockOf(10);
    const task = (pieces: number): Task => ({
      what: 'work',
      run: piecesOf(pieces, clock.work),
      withinMs: 25,
    });
    const pace = { nowMs: clock.nowMs, breathe: async () => {} };
    const ends = await answered(asks([task(2), task(9), task(1)]), pace);
    expect(ends).toEqual(['whole', 'out of time', 'whole']);
  });

  it('ends limited work after the same steps on a fast computer and on a slow one', async () => {
    const stepsWith = async (msAStep: number) => {
      const clock = { ms: 0, steps: 0 };
      const run: Task['run'] = {
        step(steps) {
          clock.ms += steps * msAStep;
          clock.steps += steps;
          return false;
        },
      };
      const limited = { what: 'work', run: limitedTo(12_345, run) };
      await answered(asks([limited]), { nowMs: () => clock.ms, breathe: async () => {} });
      return clock.steps;
    };
    expect(await stepsWith(1e-4)).toBe(12_500);
    expect(await stepsWith(50)).toBe(12_500);
  });

  it('asks the optimiser nothing more once stopped', async () => {
    let stopped = false;
    let solves = 0;
    const problem = { costs: [1], most: [1], whole: [false], rows: [] };
    const work = function* (): WorkSteps<(number | undefined)[]> {
      const first = yield* solved(problem, 'first');
      const second = yield* solved(problem, 'second');
      return [first?.cost, second?.cost];
    };
    const costs = await answered(work(), {
      nowMs: () => 0,
      breathe: async () => {},
      stopped: () => stopped,
      optimiser: async () => () => {
        solves++;
        stopped = true;
        return { values: [0], cost: 7, bound: 7 };
      },
    });
    expect(costs).toEqual([7, undefined]);
    expect(solves).toBe(1);
  });

  it('stops after one piece', async () => {
    const clock = clockOf(10);
    let stopped = false;
    const reported: string[] = [];
    const ends = await answered(asks([{ what: 'long', run: piecesOf(1e6, clock.work) }]), {
      nowMs: clock.nowMs,
      breathe: async () => {
        stopped = clock.nowMs() >= 30;
      },
      stopped: () => stopped,
      ended: ({ what }, how) => reported.push(`${what}: ${how}`),
    });
    expect(ends).toEqual(['stopped']);
    expect(reported).toEqual(['long: stopped']);
    expect(clock.nowMs()).toBe(30);
  });

  it('makes its pieces long enough to be worth it and short enough to stop quickly', async () => {
    // A machine that examines 200 things in a millisecond: 15 ms are 3000.
    let ms = 0;
    const sizes: number[] = [];
    const run: Task['run'] = {
      step(budget) {
        sizes.push(budget);
        ms += budget / 200;
        return sizes.length >= 20;
      },
    };
    await answered(asks([{ what: 'work', run }]), { nowMs: () => ms, breathe: async () => {} });
    expect(sizes.at(-1)).toBe(3000);
    expect(Math.max(...sizes)).toBeLessThanOrEqual(3000);
  });
});
