import type { Basis } from '../mixes/mix-graph.ts';

/** A colour of the figure: a recipe of clays and of other colours. */
export interface FigureColour {
  readonly basis: Basis;
  readonly parts: readonly { readonly clay: string; readonly parts: number }[];
}

/** What colours are made of, down to the clays. */
export interface ColourContents {
  /** cm3 of each clay in one cm3 of a colour; a clay holds itself. */
  claysIn(name: string): ReadonlyMap<string, number>;
  /** Of a colour or a clay, g/cm3. */
  densityOf(name: string): number;
  /** The parts of a colour by volume, a part named twice added up. */
  volumesOf(name: string): ReadonlyMap<string, number>;
}

/**
 * Contents of colours by their recipes, each worked out once.
 * Units:   cm3, g/cm3
 * Limits:  where colours are made of one another in a circle, the colour met again counts as a clay
 */
export function contentsOf(
  colours: ReadonlyMap<string, FigureColour>,
  densityOfClay: (clay: string) => number,
): ColourContents {
  const known = new Map<string, ReadonlyMap<string, number>>();
  const open = new Set<string>();
  const densityOf = (name: string): number => {
    let mass = 0;
    for (const [clay, cm3] of claysIn(name)) mass += cm3 * densityOfClay(clay);
    return mass;
  };
  return { claysIn, densityOf, volumesOf };

  function volumesOf(name: string): ReadonlyMap<string, number> {
    const { basis, parts } = colours.get(name) ?? { basis: 'volume', parts: [] };
    const volumes = new Map<string, number>();
    for (const { clay, parts: n } of parts) {
      const volume = basis === 'weight' ? n / densityOf(clay) : n;
      volumes.set(clay, (volumes.get(clay) ?? 0) + volume);
    }
    return volumes;
  }

  function claysIn(name: string): ReadonlyMap<string, number> {
    if (!colours.has(name) || open.has(name)) return new Map([[name, 1]]);
    const before = known.get(name);
    if (before !== undefined) return before;
    open.add(name);
    const volumes = volumesOf(name);
    const clays = claysOfParts(volumes, claysIn);
    open.delete(name);
    // Inside of a circle the answer depends on where one came in.
    if (open.size === 0) known.set(name, clays);
    return clays;
  }
}

/** cm3 of each clay in one cm3 of a mix of parts. */
export function claysOfParts(
  volumes: ReadonlyMap<string, number>,
  claysIn: (part: string) => ReadonlyMap<string, number>,
): ReadonlyMap<string, number> {
  const total = [...volumes.values()].reduce((sum, v) => sum + v, 0);
  const clays = new Map<string, number>();
  for (const [part, volume] of volumes) {
    for (const [clay, cm3] of claysIn(part)) {
      clays.set(clay, (clays.get(clay) ?? 0) + (cm3 * volume) / total);
    }
  }
  return clays;
}
