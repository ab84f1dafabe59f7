import { triple } from '../colour/triples.ts';

type Light = readonly [number, number, number];

/** Linear light of a channel below which its value is lost, where another channel is well lit. */
const LOST = 0.004;
const LIT = 0.01;
const LEAST_PART = 0.2;
/**
 * How far below the bottom such a colour is, and how far that varies: of the brightest channel, and
 * of white.
 */
const BELOW = { part: 0.02, ofWhite: 0.002 };
const STRAY = { part: 0.03, ofWhite: 0.003 };

/** Channels that a strong colour leaves at the bottom of what the file can hold. */
export function clippedChannels(light: readonly number[]): number[] {
  const most = Math.max(...light);
  if (most < LIT) return [];
  return [0, 1, 2].filter((c) => light[c] < LOST && light[c] < LEAST_PART * most);
}

/**
 * The colour if the file could hold it: a channel at the bottom was cut off there, so its true
 * value is below. How far was measured on rendered scenes.
 */
export function meantLight(light: Light): Light {
  const lost = clippedChannels(light);
  const below = BELOW.ofWhite + BELOW.part * Math.max(...light);
  return triple((c) =>
    lost.includes(c) ? light[c] - below * (1 - Math.max(0, light[c]) / LOST) : light[c],
  );
}

/** The same colour with each of its lost channels as far below as it may be. */
export function strongerLights(light: Light): Light[] {
  const stray = STRAY.ofWhite + STRAY.part * Math.max(...light);
  return clippedChannels(light).map((lost) =>
    triple((c) => (c === lost ? light[c] - stray : light[c])),
  );
}
