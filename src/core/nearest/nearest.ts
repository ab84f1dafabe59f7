import { deltaE2000At } from '../colour/difference.ts';
import { type ColourBox, differenceFloor, hueSpan } from '../colour/difference-floor.ts';
import type { Lab } from '../colour/triples.ts';
import { invalidInput } from '../errors.ts';
import { type NearColour, nearestList } from './nearest-list.ts';
import { risingQueue } from './rising-queue.ts';

export interface NearestOptions {
  /** How many to return at most. */
  readonly top: number;
  /** Only colours up to this far, CIEDE2000; any distance when absent. */
  readonly within?: number;
  /** 1 for every colour that may be returned, by index; all when absent. */
  readonly allowed?: Uint8Array;
}

/** Colours of a book, arranged so that the closest few of 100,000 are found in an instant. */
export interface NearestBook {
  readonly size: number;
  /** Closest first; of equally close ones the smaller index first. */
  nearest(aim: Lab, options: NearestOptions): NearColour[];
  /** Replaces one colour, or adds one at index `size`. */
  set(index: number, lab: Lab): void;
}

/** A full leaf holds this many colours; with more it is cut in two. */
const LEAF = 24;
/**
 * With at most this many allowed colours, all are compared; with more, this many are sampled before
 * the boxes.
 */
const FEW = 16_384;
const SAMPLE = 512;

/**
 * Finds the closest colours of a book by CIEDE2000, exactly as if all had been compared. The book
 * is a tree of boxes in L, a, b, each cut across the middle of its longest side until few colours
 * remain in it. `differenceFloor` gives the least difference to any colour of a box. Boxes are
 * opened in order of that floor until it passes the worst of the closest found; every unopened box
 * is farther still. A box never shrinks when a colour leaves it: its floor stays true, only less
 * sharp.
 * Shape:   n colours as L, a, b, L, a, b … -> a book
 * Units:   CIELAB, all under one light, as the aims; CIEDE2000
 * Refuses: a colour that is not a number, an index past the end, counts that are not whole and
 *          positive, flags of another length -> invalid-input
 * Holds:   the same answer as sorting all colours by (dE00, index); making a book grows with n
 *          times the depth of the tree, a change with the depth alone
 * Source:  floors derived from [Sharma2005], see difference-floor.ts
 */
export function nearestBook(labs: ArrayLike<number>): NearestBook {
  if (labs.length % 3 !== 0) throw invalidInput('A book of colours needs L, a and b of each.');
  let size = labs.length / 3;
  let colours = Float64Array.from(labs);
  let hues = new Float64Array(size);
  const leafOf: Box[] = [];
  for (let i = 0; i < size; i++)
    setColour(i, colours[3 * i], colours[3 * i + 1], colours[3 * i + 2]);
  const root = boxAround(Array.from({ length: size }, (_, i) => i));
  cut(root);

  return {
    get size() {
      return size;
    },
    nearest,
    set(index, [l, a, b]) {
      if (!Number.isInteger(index) || index < 0 || index > size) {
        throw invalidInput(`A book of ${size} colours has no place ${index}.`);
      }
      checkColour(l, a, b);
      if (index === hues.length) grow();
      if (index === size) size++;
      else {
        const { members } = leafOf[index];
        members[members.indexOf(index)] = members[members.length - 1];
        members.pop();
      }
      setColour(index, l, a, b);
      let box = root;
      for (;;) {
        widen(box, index);
        if (box.halves === undefined) break;
        box = box.halves[colours[3 * index + box.axis] < box.at ? 0 : 1];
      }
      box.members.push(index);
      leafOf[index] = box;
      if (box.members.length > 2 * LEAF) {
        // Recompute the edges, so that both halves hold colours.
        Object.assign(box, edgesOf(box.members));
        cut(box);
      }
    },
  };

  function nearest(aim: Lab, { top, within, allowed }: NearestOptions): NearColour[] {
    if (!Number.isInteger(top) || top < 1) {
      throw invalidInput(`The nearest ${top} were asked for; it must be a whole number from 1.`);
    }
    checkColour(...aim);
    if (allowed !== undefined && allowed.length !== size) {
      throw invalidInput(`Flags for ${allowed.length} colours were given; the book has ${size}.`);
    }
    const floor = differenceFloor(aim);
    const found = nearestList(top, within ?? Number.POSITIVE_INFINITY);
    const offer = (i: number) => {
      const l = colours[3 * i];
      const a = colours[3 * i + 1];
      const b = colours[3 * i + 2];
      if (floor.ofColour(l, a, b, hues[i]) > found.limit()) return;
      found.offer(i, deltaE2000At(aim[0], aim[1], aim[2], l, a, b));
    };
    if (allowed !== undefined) {
      const some = flagged(allowed, Math.max(SAMPLE, 4 * top));
      if (some.count <= FEW) {
        for (let i = 0; i < size; i++) if (allowed[i] !== 0) offer(i);
        return found.sorted();
      }
      // The allowed colours may all be far off: the sample limits how far to search.
      const sampled = nearestList(top, within ?? Number.POSITIVE_INFINITY);
      for (const i of some.sample) {
        const at = 3 * i;
        sampled.offer(i, deltaE2000At(...aim, colours[at], colours[at + 1], colours[at + 2]));
      }
      found.nearerThan(sampled.limit());
    }
    const queue = risingQueue<Box>();
    queue.put(root, size === 0 ? Number.POSITIVE_INFINITY : floor.ofBox(root));
    for (;;) {
      const next = queue.take();
      if (next === undefined || next.floor > found.limit()) return found.sorted();
      const { halves, members } = next.item;
      for (const half of halves ?? []) {
        const own = floor.ofBox(half);
        if (own <= found.limit()) queue.put(half, own);
      }
      for (const i of members) {
        if (allowed !== undefined && allowed[i] === 0) continue;
        offer(i);
      }
    }
  }

  function setColour(index: number, l: number, a: number, b: number): void {
    checkColour(l, a, b);
    colours[3 * index] = l;
    colours[3 * index + 1] = a;
    colours[3 * index + 2] = b;
    hues[index] = (Math.atan2(b, a) * 180) / Math.PI;
  }

  function boxAround(members: number[]): Box {
    return { ...edgesOf(members), members, halves: undefined, axis: 0, at: 0 };
  }

  function edgesOf(members: readonly number[]): ColourBox {
    const from = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
    const to = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
    for (const i of members) {
      for (let axis = 0; axis < 3; axis++) {
        const value = colours[3 * i + axis];
        if (value < from[axis]) from[axis] = value;
        if (value > to[axis]) to[axis] = value;
      }
    }
    const [fromL, fromA, fromB] = from;
    const [toL, toA, toB] = to;
    return { fromL, toL, fromA, toA, fromB, toB, ...hueSpan({ fromA, toA, fromB, toB }) };
  }

  /** Cuts a box, and its halves again, until each holds few colours or only equal ones. */
  function cut(box: Box): void {
    const { members } = box;
    const sides = [
      [box.fromL, box.toL],
      [box.fromA, box.toA],
      [box.fromB, box.toB],
    ];
    const lengths = sides.map(([from, to]) => to - from);
    const axis = lengths.indexOf(Math.max(...lengths));
    const [from, to] = sides[axis];
    const at = from + (to - from) / 2;
    // Two neighbouring numbers have no number between them.
    if (members.length <= LEAF || !(at > from)) {
      for (const i of members) leafOf[i] = box;
      return;
    }
    const below: number[] = [];
    const above: number[] = [];
    for (const i of members) (colours[3 * i + axis] < at ? below : above).push(i);
    box.axis = axis;
    box.at = at;
    box.members = [];
    box.halves = [boxAround(below), boxAround(above)];
    for (const half of box.halves) cut(half);
  }

  function widen(box: Box, index: number): void {
    const l = colours[3 * index];
    const a = colours[3 * index + 1];
    const b = colours[3 * index + 2];
    if (l < box.fromL) box.fromL = l;
    if (l > box.toL) box.toL = l;
    if (a >= box.fromA && a <= box.toA && b >= box.fromB && b <= box.toB) return;
    box.fromA = Math.min(box.fromA, a);
    box.toA = Math.max(box.toA, a);
    box.fromB = Math.min(box.fromB, b);
    box.toB = Math.max(box.toB, b);
    Object.assign(box, hueSpan(box));
  }

  function grow(): void {
    const room = Math.max(LEAF, 2 * hues.length);
    const [oldColours, oldHues] = [colours, hues];
    colours = new Float64Array(3 * room);
    colours.set(oldColours);
    hues = new Float64Array(room);
    hues.set(oldHues);
  }
}

type Box = { -readonly [key in keyof ColourBox]: ColourBox[key] } & {
  /** Colours of a leaf; empty where the box is cut. */
  members: number[];
  /** Colours below `at` along `axis`, and the rest. */
  halves: readonly [Box, Box] | undefined;
  axis: number;
  at: number;
};

function checkColour(...lab: readonly number[]): void {
  if (!lab.every(Number.isFinite)) throw invalidInput(`${lab.join(', ')} is not a colour.`);
}

/** Number of set flags, and about `sampleSize` of them from end to end. */
function flagged(flags: Uint8Array, sampleSize: number): { count: number; sample: number[] } {
  let count = 0;
  for (let i = 0; i < flags.length; i++) if (flags[i] !== 0) count++;
  const every = Math.max(1, Math.floor(count / sampleSize));
  const sample: number[] = [];
  let seen = 0;
  for (let i = 0; i < flags.length; i++) {
    if (flags[i] !== 0 && seen++ % every === 0) sample.push(i);
  }
  return { count, sample };
}
