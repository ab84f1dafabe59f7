import { besides, CELLS, eroded } from './cell-masks.ts';
import { median } from './commonest.ts';
import type { Cells } from './tile-cells.ts';

/** Cells this far inside and outside of an outline are compared. */
const ACROSS = 2;
/** A tile ends in a step; where the rim is less than this share of the inside, it fades. */
const FADES = 0.55;
/** A pale tile on a pale table is no highlight: what shines is clearly brighter, in code. */
const BRIGHTER = 0.06;

/**
 * Whether a mask is only the highlight on something larger: brighter than what is around it in all
 * channels, and without an edge of its own.
 */
export function isHighlight({ codes }: Cells, mask: Uint8Array): boolean {
  const level = (i: number) => (codes[3 * i] + codes[3 * i + 1] + codes[3 * i + 2]) / 3;
  const core = eroded(mask, ACROSS);
  const wider = widened(mask, ACROSS);
  const marked = (of: (i: number) => boolean) => [...mask.keys()].filter(of);
  const inside = marked((i) => core[i] === 1);
  const rim = marked((i) => mask[i] === 1 && core[i] === 0);
  const outside = marked((i) => wider[i] === 1 && mask[i] === 0);
  if (inside.length === 0 || rim.length === 0 || outside.length === 0) return false;
  const beyond = median(outside.map(level));
  const above = median(inside.map(level)) - beyond;
  if (above < BRIGHTER) return false;
  const allBrighter = [0, 1, 2].every(
    (c) =>
      median(inside.map((i) => codes[3 * i + c])) > median(outside.map((i) => codes[3 * i + c])),
  );
  return allBrighter && median(rim.map(level)) - beyond < FADES * above;
}

function widened(mask: Uint8Array, rounds: number): Uint8Array {
  let now = mask;
  for (let round = 0; round < rounds; round++) {
    const next = now.slice();
    for (let i = 0; i < CELLS * CELLS; i++) {
      if (now[i] === 0 && besides(i).some((b) => now[b] === 1)) next[i] = 1;
    }
    now = next;
  }
  return now;
}
