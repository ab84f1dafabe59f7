import { BANDS } from '../colour/grid.ts';
import type { ClayGroupTable } from './branches.ts';
import type { CompositionCell, Compositions } from './composition-tree.ts';
import { mixOf, type SearchBounds } from './search-bounds.ts';
import { type KernelMemory, openKernel } from './search-kernel.ts';
import type { FindView } from './search-options.ts';
import type { SearchProblem } from './search-problem.ts';
import { SupportBounds } from './support-bounds.ts';

/** Local copy of the number of bands, for fast loops. */
const N = BANDS;
/** Most clays of a set whose bounds the kernel can work out. */
const MOST_CLAYS = 8;
/** This many recipes found are judged before the walk goes on, since they may tighten the bounds. */
const ROOM = 8;
/** Number of words in a pick, and in a cell before its corners. */
const PICK = 6;
const CELL_HEAD = 4;
/** Bytes of a corner. */
const CORNER = 16 + 4 * N;
/**
 * Share by which a support is moved outward, to cover its rounding to 32 bit and the rounding of
 * sums of that size.
 */
const OUTWARD = 2 ** -21;

/** Compositions as placed in the kernel's memory. */
interface Placed {
  readonly cells: readonly CompositionCell[];
  /** Where the kernel writes the recipes it finds. */
  readonly foundAt: number;
  use(): void;
}

/** The bounds in 32 bit, four bands at a time; undefined where the kernel cannot run. */
export function kernelBounds(
  problem: SearchProblem,
  { groups }: ClayGroupTable,
): SearchBounds | undefined {
  const { curves, rules, size, dilution, power } = problem;
  if (problem.mostClays > MOST_CLAYS) return undefined;
  // The kernel counts all parts alike.
  if (power !== 1 && curves.linear.some((v) => v === 1)) return undefined;
  const { onShares } = rules;
  const sight = new SupportBounds(problem);
  let set: Int32Array = new Int32Array(0);
  let all: Compositions | undefined;
  let placed: Placed | undefined;
  const kernel = openKernel((cell) =>
    rules.allowsBetween(
      set,
      set.length,
      all!.corners,
      placed!.cells[(cell >> 2) / (CELL_HEAD + set.length)].corners,
    ),
  );
  if (kernel === undefined) return undefined;
  const { calls } = kernel;

  // Directions of each light, rounded up to a multiple of four.
  const lights = sight.balls.length;
  const perLight = (Math.max(...sight.balls.map(({ directions }) => directions.length)) + 3) & ~3;
  const supports = kernel.take(4 * 4 * perLight * lights);
  const lines = kernel.take(4 * N * perLight * lights);
  const heads = kernel.take(4 * 4 * perLight * lights);
  const weights = kernel.floats(sight.balls.flatMap(({ view }) => weightsOf(view, sight.through)));
  const order = kernel.words(sight.balls.flatMap(() => [...Array(perLight).keys()]));
  calls.setDirections(
    lines,
    heads,
    supports,
    order,
    weights,
    lights,
    perLight,
    sight.inner,
    dilution,
  );
  calls.setClays(
    kernel.floats(
      Array.from({ length: size }, (_, p) => [
        ...curves.k.subarray(p * N, (p + 1) * N),
        ...curves.s.subarray(p * N, (p + 1) * N),
      ]).flat(),
    ),
    kernel.words(curves.white),
    kernel.floats(curves.amount),
  );
  const setAt = kernel.take(4 * MOST_CLAYS);
  const picksAt = kernel.take(4 * PICK * MOST_CLAYS);
  const resultAt = calls.resultAt() >> 2;
  const ranges = groups.map(({ leastK, mostK, leastS, mostS }) =>
    kernel.floats([...leastK, ...mostK, ...leastS, ...mostS]),
  );
  const compositions = new Map<Compositions, Placed>();
  let stamp = 0;
  copySight(kernel);

  return { refresh, mayHold, descend };

  function refresh(): void {
    if (sight.refresh()) copySight(kernel!);
  }

  function copySight({ f32 }: KernelMemory): void {
    sight.balls.forEach(({ directions, from }, light) => {
      const count = directions.length;
      f32.set(
        sight.lines.subarray(from * N, (from + count) * N),
        (lines >> 2) + light * perLight * N,
      );
      directions.forEach(([x, y, z], d) => {
        const head = (heads >> 2) + 4 * light * perLight + d;
        [x, y, z, Math.abs(x) + Math.abs(y) + Math.abs(z)].forEach((v, i) => {
          f32[head + i * perLight] = v;
        });
      });
      sight.ranges.forEach(({ least, most }, special) => {
        const at = (supports >> 2) + (2 * light + special) * 2 * perLight;
        f32.fill(Number.NEGATIVE_INFINITY, at, at + perLight);
        f32.fill(Number.POSITIVE_INFINITY, at + perLight, at + 2 * perLight);
        for (let d = 0; d < count; d++) {
          const [low, high] = [least[from + d], most[from + d]];
          const room = OUTWARD * (Math.abs(low) + Math.abs(high));
          if (!Number.isFinite(room)) continue;
          f32[at + d] = low - room;
          f32[at + perLight + d] = high + room;
        }
      });
    });
  }

  function mayHold(bundle: Int32Array, count: number): boolean {
    const { spare, factorLeast, factorMost, special } = mixOf(bundle, count, groups, problem);
    const { f32, i32 } = kernel!;
    const length = bundle[0];
    let at = picksAt >> 2;
    for (let p = 0; p < length; p++) {
      const own = bundle[1 + 2 * p];
      const times = bundle[2 + 2 * p];
      const { white } = groups[own];
      const low = white ? 1 : factorLeast;
      const high = white ? 1 : factorMost;
      i32[at] = ranges[own];
      f32[at + 1] = times * low;
      f32[at + 2] = times * high;
      f32[at + 3] = times;
      f32[at + 4] = spare * low;
      f32[at + 5] = spare * high;
      at += PICK;
    }
    return calls.mayHold(picksAt, length, spare, special) !== 0;
  }

  function descend(own: Int32Array, tree: Compositions): number {
    const n = own.length;
    set = own;
    if (tree !== all) {
      all = tree;
      placed = compositions.get(tree);
      if (placed === undefined) {
        placed = place(kernel!, tree, problem);
        compositions.set(tree, placed);
      }
      placed.use();
    }
    const { i32 } = kernel!;
    let special = 0;
    for (let i = 0; i < n; i++) {
      i32[(setAt >> 2) + i] = own[i];
      special |= curves.special[own[i]];
    }
    calls.begin(setAt, ++stamp, special);
    const found = placed!.foundAt >> 2;
    let judged = 0;
    let cell = 0;
    do {
      cell = calls.walk(cell, onShares);
      const count = i32[resultAt];
      for (let i = 0; i < count; i++) {
        const recipe = i32[found + i];
        problem.judge(own, tree.counts.subarray(recipe * n, recipe * n + n), n);
      }
      judged += count;
      if (count > 0) refresh();
    } while (cell !== 0);
    const tried = i32[resultAt + 2];
    problem.tried += tried - judged;
    return i32[resultAt + 1] + tried;
  }
}

/** Weights of X, Y and Z of a light for body reflectance, and the largest of the three. */
function weightsOf({ weights: { x, y, z } }: FindView, through: number): number[] {
  const rows = [x, y, z].map((row) => Array.from(row, (w) => w * through));
  const largest = rows[0].map((_, band) => Math.max(...rows.map((row) => Math.abs(row[band]))));
  return [...rows.flat(), ...largest];
}

/** Writes cells in the order of a visit, each with the place where the walk goes on after its last part. */
function place(
  kernel: KernelMemory,
  tree: Compositions,
  { power, dilution }: SearchProblem,
): Placed {
  const { size, counts, corners, amounts, length } = tree;
  const cells: CompositionCell[] = [];
  const after: number[] = [];
  const visit = (cell: CompositionCell) => {
    const own = cells.push(cell) - 1;
    for (const half of cell.halves) visit(half);
    after[own] = cells.length;
  };
  visit(tree.root);
  const words = CELL_HEAD + size;
  const from = kernel.take(4 * words * cells.length);
  const slacks = cells.map(({ slack }) => slack ** (1 + Math.abs(dilution)) * (1 - OUTWARD));
  const listed: number[] = [];
  cells.forEach((cell, i) => {
    const leaf = cell.halves.length === 0;
    kernel.i32.set(
      [
        from + 4 * words * after[i],
        leaf ? cell.recipes.length : 0,
        listed.length,
        0,
        ...cell.corners,
      ],
      (from >> 2) + words * i,
    );
    kernel.f32[(from >> 2) + words * i + CELL_HEAD - 1] = power === 1 ? 1 : slacks[i];
    if (leaf) listed.push(...cell.recipes);
  });
  const end = from + 4 * words * cells.length;
  const shares = kernel.floats(amounts);
  const places = kernel.take((CORNER * corners.length) / size);
  const parts = kernel.floats(Array.from(counts, (n) => n ** power));
  const recipes = kernel.words(listed);
  const foundAt = kernel.take(4 * (length + ROOM));
  return {
    cells,
    foundAt,
    use: () =>
      kernel.calls.setCompositions(size, from, end, shares, places, parts, recipes, foundAt, ROOM),
  };
}
