import type { FlatRegion } from './flat-regions.ts';
import type { Point } from './plane-view.ts';
import { indexed, type RegionIndex, within } from './region-index.ts';

/** Regions arranged in rows and columns. */
export interface Lattice {
  readonly cells: readonly { readonly column: number; readonly row: number; readonly at: Point }[];
}

/** Regions of one lattice differ in area by less than this factor from a neighbour. */
const AREA_FACTOR = 2.2;
/** Distance of neighbours in sides of a region: they touch at 1. */
const PITCH = [1.0, 2.0] as const;
/** How far a neighbour may be from its expected place, in pitches. */
const SLACK = 0.25;
const NEIGHBOURS: readonly Point[] = [
  [1, 0],
  [-1, 0],
  [0, 1],
  [0, -1],
];

/** A colour counts as another when a channel is off by this part of the range the lattice spans. */
const OTHER_COLOUR = 0.12;
/** Chequered cloth, floor tiles and keyboards have fewer colours than a chart. */
const LEAST_COLOURS = 6;
const MOST_GROWN = 60;

/**
 * Lattices of many colours that can be grown from neighbouring regions, the most colourful first.
 * Method:  from each region and two neighbours at about a right angle, the next is searched where
 *          the last two point, so the pitch may change slowly, as in perspective
 */
export function lattices(regions: readonly FlatRegion[], least: number, most = 16): Lattice[] {
  const found: { readonly lattice: Lattice; readonly colours: number }[] = [];
  const used = new Set<number>();
  const index = indexed(regions);
  for (let seed = 0; seed < regions.length && found.length < MOST_GROWN; seed++) {
    if (used.has(seed)) continue;
    const near = neighboursOf(index, seed);
    let best: Map<string, number> | undefined;
    for (const [i, one] of near.entries()) {
      for (const other of near.slice(i + 1)) {
        const grown = grow(index, seed, one, other);
        if (grown !== undefined && grown.size > (best?.size ?? 0)) best = grown;
      }
    }
    if (best === undefined || best.size < least) continue;
    for (const member of best.values()) used.add(member);
    const colours = coloursOf([...best.values()].map((member) => regions[member].colour));
    if (colours < LEAST_COLOURS) continue;
    const cells = [...best].map(([key, member]) => {
      const [column, row] = key.split(',').map(Number);
      return { column, row, at: regions[member].centre };
    });
    found.push({ lattice: { cells }, colours });
  }
  return found
    .sort((a, b) => b.colours - a.colours || b.lattice.cells.length - a.lattice.cells.length)
    .slice(0, most)
    .map(({ lattice }) => lattice);
}

/** How many of some colours are different from each other. */
function coloursOf(colours: readonly (readonly number[])[]): number {
  const all = colours.flat();
  const step = OTHER_COLOUR * (Math.max(...all) - Math.min(...all));
  const accepted: (readonly number[])[] = [];
  for (const colour of colours) {
    const like = accepted.some((other) => other.every((v, c) => Math.abs(v - colour[c]) < step));
    if (!like) accepted.push(colour);
  }
  return accepted.length;
}

function neighboursOf(index: RegionIndex, seed: number): number[] {
  const { centre, area } = index.regions[seed];
  const side = Math.sqrt(area);
  // Edges shrink small regions: their true side is a few pixels more.
  return within(index, centre, (side + 6) * PITCH[1])
    .filter(
      ({ index: other, away }) =>
        other !== seed && away > side * PITCH[0] && alike(index.regions[other].area, area),
    )
    .sort((a, b) => a.away - b.away)
    .slice(0, 6)
    .map(({ index }) => index);
}

function grow(
  index: RegionIndex,
  seed: number,
  one: number,
  other: number,
): Map<string, number> | undefined {
  const { regions } = index;
  const origin = regions[seed].centre;
  const u = minus(regions[one].centre, origin);
  const v = minus(regions[other].centre, origin);
  const lengths = [Math.hypot(...u), Math.hypot(...v)];
  const square = Math.abs(u[0] * v[1] - u[1] * v[0]) / (lengths[0] * lengths[1]);
  if (square < 0.75 || lengths[0] > 1.7 * lengths[1] || lengths[1] > 1.7 * lengths[0]) {
    return undefined;
  }
  const cells = new Map<string, number>([
    ['0,0', seed],
    ['1,0', one],
    ['0,1', other],
  ]);
  const taken = new Set([seed, one, other]);
  const queue: Point[] = [
    [0, 0],
    [1, 0],
    [0, 1],
  ];
  const centreAt = (column: number, row: number): Point | undefined => {
    const cell = cells.get(`${column},${row}`);
    return cell === undefined ? undefined : regions[cell].centre;
  };
  while (queue.length > 0 && cells.size < 60) {
    const [column, row] = queue.shift()!;
    const here = centreAt(column, row)!;
    const area = regions[cells.get(`${column},${row}`)!].area;
    for (const [dc, dr] of NEIGHBOURS) {
      const key = `${column + dc},${row + dr}`;
      if (cells.has(key)) continue;
      const behind = centreAt(column - dc, row - dr);
      const beside =
        sideStep(centreAt, column, row, dc, dr) ?? (dc !== 0 ? scaled(u, dc) : scaled(v, dr));
      const step = behind === undefined ? beside : minus(here, behind);
      const expected: Point = [here[0] + step[0], here[1] + step[1]];
      const slack = SLACK * Math.hypot(...step);
      let nearest = -1;
      let away = slack;
      for (const near of within(index, expected, slack)) {
        if (near.away < away && !taken.has(near.index) && alike(regions[near.index].area, area)) {
          nearest = near.index;
          away = near.away;
        }
      }
      if (nearest < 0) continue;
      cells.set(key, nearest);
      taken.add(nearest);
      queue.push([column + dc, row + dr]);
    }
  }
  return cells;
}

/** The same step as in the row or column beside. */
function sideStep(
  centreAt: (column: number, row: number) => Point | undefined,
  column: number,
  row: number,
  dc: number,
  dr: number,
): Point | undefined {
  for (const side of [-1, 1]) {
    const from = centreAt(column + side * Math.abs(dr), row + side * Math.abs(dc));
    const to = centreAt(column + side * Math.abs(dr) + dc, row + side * Math.abs(dc) + dr);
    if (from !== undefined && to !== undefined) return minus(to, from);
  }
  return undefined;
}

function alike(a: number, b: number): boolean {
  return a < b * AREA_FACTOR && b < a * AREA_FACTOR;
}

function minus(a: Point, b: Point): Point {
  return [a[0] - b[0], a[1] - b[1]];
}

function scaled(a: Point, by: number): Point {
  return [a[0] * by, a[1] * by];
}
