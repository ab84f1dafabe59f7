/** Squares of cells, row by row, 1 where a cell is marked. */

/** Cells along a side of the search area. */
export const CELLS = 72;

/** A square around the middle, by half its side as a share of the whole. */
export function square(half: number): Uint8Array {
  const out = new Uint8Array(CELLS * CELLS);
  const reach = half * CELLS;
  for (let i = 0; i < out.length; i++) {
    const x = (i % CELLS) + 0.5 - CELLS / 2;
    const y = Math.floor(i / CELLS) + 0.5 - CELLS / 2;
    if (Math.abs(x) <= reach && Math.abs(y) <= reach) out[i] = 1;
  }
  return out;
}

/** Without threads one or two cells thin. */
export function opened(mask: Uint8Array): Uint8Array {
  const core = eroded(mask, 1);
  const out = core.slice();
  for (let i = 0; i < core.length; i++) {
    if (core[i] === 1) for (const next of besides(i)) out[next] = 1;
  }
  return out;
}

/** Up to four neighbours. */
export function besides(at: number): number[] {
  const x = at % CELLS;
  return [
    ...(x > 0 ? [at - 1] : []),
    ...(x < CELLS - 1 ? [at + 1] : []),
    ...(at >= CELLS ? [at - CELLS] : []),
    ...(at < CELLS * (CELLS - 1) ? [at + CELLS] : []),
  ];
}

/** Whether it reaches the edge of the square. */
export function leaks(mask: Uint8Array): boolean {
  let touching = 0;
  for (let k = 0; k < CELLS; k++) {
    touching +=
      mask[k] + mask[CELLS * (CELLS - 1) + k] + mask[k * CELLS] + mask[k * CELLS + CELLS - 1];
  }
  return touching > 0.03 * 4 * CELLS;
}

/** Without the holes that gloss, stamp and dirt leave. */
export function filled(mask: Uint8Array): Uint8Array {
  const out = new Uint8Array(CELLS * CELLS).fill(1);
  const queue: number[] = [];
  for (let i = 0; i < out.length; i++) {
    const x = i % CELLS;
    const rim = x === 0 || x === CELLS - 1 || i < CELLS || i >= CELLS * (CELLS - 1);
    if (rim && mask[i] === 0) {
      out[i] = 0;
      queue.push(i);
    }
  }
  while (queue.length > 0) {
    for (const next of besides(queue.pop()!)) {
      if (out[next] === 0 || mask[next] === 1) continue;
      out[next] = 0;
      queue.push(next);
    }
  }
  return out;
}

/** Without its outermost cells, a number of times. */
export function eroded(mask: Uint8Array, rounds: number): Uint8Array {
  let now = mask;
  for (let round = 0; round < rounds; round++) {
    const next = now.slice();
    for (let i = 0; i < now.length; i++) {
      if (now[i] === 1 && (besides(i).length < 4 || besides(i).some((b) => now[b] === 0)))
        next[i] = 0;
    }
    now = next;
  }
  return now;
}

/** Number of marked cells. */
export function cellsMarked(mask: Uint8Array): number {
  let sum = 0;
  for (let i = 0; i < mask.length; i++) sum += mask[i];
  return sum;
}
