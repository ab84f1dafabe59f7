/** Source of random numbers; seeded, and always passed in. */
export interface Chance {
  /** 0 up to but not 1. */
  readonly uniform: () => number;
  /** Mean 0, deviation 1. */
  readonly normal: () => number;
}

/**
 * Random numbers that are the same for the same seed, so that one question has one answer.
 * Source:  a counter mixed by multiplication (mulberry32, public domain); normal values by
 *          [BoxMuller1958]
 */
export function seededChance(seed: number): Chance {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  return {
    uniform,
    normal: () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
  };
}
