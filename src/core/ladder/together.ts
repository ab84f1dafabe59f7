import type { WholeParts } from '../mixes/whole-parts.ts';
import { commonDivisor } from '../numeric/common-divisor.ts';

/** Pieces of two mixes as parts of their clays, whole where the mixes are counted in whole parts. */
export function together(
  from: WholeParts,
  to: WholeParts,
  [ofFrom, ofTo]: readonly [number, number],
): WholeParts {
  const sum = (parts: WholeParts) => parts.reduce((all, part) => all + part.parts, 0);
  const [first, last] = [sum(from), sum(to)];
  const counts = new Map<number, number>();
  const add = (parts: WholeParts, times: number) => {
    if (times === 0) return;
    for (const part of parts) {
      counts.set(part.clay, (counts.get(part.clay) ?? 0) + part.parts * times);
    }
  };
  add(from, ofFrom * last);
  add(to, ofTo * first);
  const all = [...counts.values()];
  const factor = all.every(Number.isInteger) ? all.reduce(commonDivisor) : 1;
  return [...counts].map(([clay, parts]) => ({ clay, parts: parts / factor }));
}
