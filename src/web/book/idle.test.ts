import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { idleLater } from './idle.ts';
import { queries } from './queries.ts';

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

describe('what loads after the first screen', () => {
  it('waits for the last answer of the book, not for a time on the clock, and comes one by one', async () => {
    let answer: (value: number) => void = () => {};
    const slow = queries.fetchQuery({
      queryKey: ['slow'],
      queryFn: () => new Promise<number>((resolve) => (answer = resolve)),
    });
    const begun: number[] = [];
    for (const one of [1, 2, 3]) idleLater().then(() => begun.push(one));
    await vi.advanceTimersByTimeAsync(9000);
    expect(begun).toEqual([]);
    answer(1);
    await slow;
    await vi.advanceTimersByTimeAsync(2000);
    expect(begun).toEqual([]);
    await vi.advanceTimersByTimeAsync(560);
    expect(begun).toEqual([1]);
    await vi.advanceTimersByTimeAsync(50);
    expect(begun).toEqual([1, 2]);
    await vi.advanceTimersByTimeAsync(50);
    expect(begun).toEqual([1, 2, 3]);
  });
});
