/**
 * Mistakes that people make in rows of tiles: what `other-studios.ts` and `wrong-tiles.ts` put into
 * clean readings.
 */
import type { TileFaultKind } from '../src/core/clay/explain/fault.ts';
import type { TileReading } from '../src/core/clay/tile-reading.ts';
import type { Random } from './random.ts';

/** A reading with a mistake in it, or two of them. */
export interface WrongBook {
  readonly readings: TileReading[];
  readonly kind: TileFaultKind;
  readonly rows: readonly number[];
}

/** A mistake moves the colour, or what the recipe should give, by this at least, CIELAB units. */
const SEEN = 15;

/** Two tiles that look unlike: exchanging two of one colour is no mistake anybody could see. */
export function unlikePair(
  labs: readonly (readonly number[])[],
  random: Random,
): readonly number[] {
  const far = labs.flatMap((a, x) =>
    labs.flatMap((b, y) =>
      x < y && Math.hypot(...a.map((v, k) => v - b[k])) > 15 ? [[x, y]] : [],
    ),
  );
  return far[random.whole(0, far.length - 1)];
}

/**
 * One mistake of a kind, in rows where it can be seen: exchanged readings and changed axes move a colour
 * by 15 at least. Undefined where the book has no such row.
 */
export function wrongBook(
  kind: TileFaultKind,
  given: readonly TileReading[],
  random: Random,
  without: ReadonlySet<number> = new Set(),
): WrongBook | undefined {
  const readings = [...given];
  const pick = (rows: readonly number[]) => rows[random.whole(0, rows.length - 1)];
  const rowsWhere = (is: (reading: TileReading) => boolean) =>
    readings.flatMap((reading, row) => (!without.has(row) && is(reading) ? [row] : []));
  const done = (rows: readonly number[]): WrongBook => ({ readings, kind, rows });
  const setLab = (row: number, change: (lab: Lab) => Lab) => {
    const { colour } = readings[row];
    if (colour.kind === 'lab') {
      readings[row] = { ...readings[row], colour: { ...colour, lab: change(colour.lab) } };
    }
    return done([row]);
  };
  switch (kind) {
    case 'swapped': {
      const open = rowsWhere(() => true);
      const [x, y] = unlikePair(
        open.map((row) => labOf(readings[row])),
        random,
      ).map((i) => open[i]);
      [readings[x], readings[y]] = [
        { ...readings[x], colour: readings[y].colour },
        { ...readings[y], colour: readings[x].colour },
      ];
      return done([x, y].sort((a, b) => a - b));
    }
    case 'reversed': {
      const row = pick(
        rowsWhere(({ parts }) => parts.length === 2 && Math.abs(parts[0].share - 0.5) > 0.1),
      );
      const { parts } = readings[row];
      const shares = parts.map(({ share }) => share).reverse();
      readings[row] = {
        ...readings[row],
        parts: parts.map(({ clay }, i) => ({ clay, share: shares[i] })),
      };
      return done([row]);
    }
    case 'other clay': {
      const row = pick(rowsWhere(({ parts }) => parts.length > 1));
      const clays = [...new Set(readings.flatMap(({ parts }) => parts.map(({ clay }) => clay)))];
      const own = readings[row].parts;
      const { clay } = own[random.whole(0, own.length - 1)];
      const others = clays.filter(
        (name) => !own.some((part) => part.clay === name) && unlikeAlone(readings, clay, name),
      );
      const instead = others[random.whole(0, others.length - 1)];
      readings[row] = {
        ...readings[row],
        parts: own.map((part) => (part.clay === clay ? { ...part, clay: instead } : part)),
      };
      return done([row]);
    }
    case 'amounts': {
      const row = pick(rowsWhere(({ parts }) => parts.length === 2));
      const { parts } = readings[row];
      const i = random.whole(0, 1);
      const raised = parts.map(({ share }, k) => (k === i ? 10 * share : share));
      const total = raised[0] + raised[1];
      readings[row] = {
        ...readings[row],
        parts: parts.map(({ clay }, k) => ({ clay, share: raised[k] / total })),
      };
      return done([row]);
    }
    case 'a and b exchanged': {
      const rows = rowsWhere((r) => Math.abs(labOf(r)[1] - labOf(r)[2]) > SEEN);
      return rows.length === 0 ? undefined : setLab(pick(rows), ([l, a, b]) => [l, b, a]);
    }
    case 'sign lost': {
      const axes = ([1, 2] as const).flatMap((axis) =>
        rowsWhere((r) => Math.abs(labOf(r)[axis]) > SEEN / 2).map((row) => [row, axis] as const),
      );
      if (axes.length === 0) return undefined;
      const [row, axis] = axes[random.whole(0, axes.length - 1)];
      return setLab(row, ([l, a, b]) => (axis === 1 ? [l, -a, b] : [l, a, -b]));
    }
    case 'scale':
      return setLab(pick(rowsWhere(() => true)), ([l, a, b]) => [l / 100, a, b]);
    case 'reading':
      return setLab(pick(rowsWhere(() => true)), () => [
        30 + 60 * random.uniform(),
        80 * random.uniform() - 40,
        80 * random.uniform() - 40,
      ]);
  }
}

type Lab = readonly [number, number, number];

const TURNS: readonly TileFaultKind[] = [
  'swapped',
  'reversed',
  'other clay',
  'sign lost',
  'reading',
  'amounts',
];

/** A number of rows with mistakes, of all kinds by turns and each row once. */
export function wrongRows(
  given: readonly TileReading[],
  count: number,
  random: Random,
): TileReading[] {
  let readings = [...given];
  const done = new Set<number>();
  for (let turn = random.whole(0, TURNS.length - 1); done.size < count; turn++) {
    const made = wrongBook(TURNS[turn % TURNS.length], readings, random, done);
    if (made === undefined) continue;
    readings = made.readings;
    for (const row of made.rows) done.add(row);
  }
  return readings;
}

function labOf({ colour }: TileReading): Lab {
  return colour.kind === 'lab' ? colour.lab : [0, 0, 0];
}

/** Whether two clays differ by more than a mistake needs to be seen. */
function unlikeAlone(readings: readonly TileReading[], one: string, other: string): boolean {
  const alone = (clay: string) =>
    readings.find(({ parts }) => parts.length === 1 && parts[0].clay === clay);
  const [a, b] = [alone(one), alone(other)];
  if (a === undefined || b === undefined) return true;
  return Math.hypot(...labOf(a).map((v, k) => v - labOf(b)[k])) > SEEN;
}
