import { plainFault } from './problem-answers.ts';

export interface RateLimit {
  /** Counts one try. Refuses: too many of late -> too-often (unavailable), with seconds to wait */
  count(who: string): void;
}

/** Callers remembered; past it the oldest windows are forgotten, so that many addresses fill no memory. */
const MOST_KNOWN = 10_000;

/** So many tries of one caller in a window of time. */
export function rateLimit(most: number, windowMs: number, nowEpochMs: () => number): RateLimit {
  const windows = new Map<string, { from: number; tries: number }>();
  return {
    count(who) {
      const now = nowEpochMs();
      let window = windows.get(who);
      // A clock set back also begins a new window.
      if (window === undefined || now - window.from >= windowMs || now < window.from) {
        windows.delete(who);
        window = { from: now, tries: 0 };
        windows.set(who, window);
        if (windows.size > MOST_KNOWN) windows.delete(windows.keys().next().value!);
      }
      window.tries++;
      if (window.tries <= most) return;
      const seconds = Math.max(1, Math.ceil((window.from + windowMs - now) / 1000));
      throw plainFault(
        'too-often',
        'unavailable',
        'That was tried too often of late.',
        `Wait ${seconds} seconds, and try again.`,
        { retry: true, more: { seconds } },
      );
    },
  };
}
