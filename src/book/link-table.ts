import { COLOUR_ROLES, type ColourIndexRow } from './ports.ts';

/** Which records name which, by number, both ways. */
export interface LinkTable {
  /** Numbers a record names, in one role or in any. */
  namedBy(number: number, role?: LinkRole): readonly number[];
  /** Numbers of records that name one, in one role or in any; a record once for each role. */
  namersOf(number: number, role?: LinkRole): readonly number[];
}

/** Roles of the links the index follows. */
export type LinkRole = (typeof COLOUR_ROLES)[number];

interface LinkTableWrites extends LinkTable {
  /** Replaces what a record names, and joins what named the record before it came. */
  setLinks(id: string, number: number, links: ColourIndexRow['links']): void;
  /** Takes the links of a record that goes for good; who still names it waits for it to come back. */
  dropLinks(id: string, number: number): void;
}

const NONE = -1;
const NOBODY: readonly number[] = [];

/**
 * Links as chains in plain arrays of numbers: every link is in the chain of what names and in the chain
 * of what is named. Two objects a link would take ten times as much.
 * Holds:   a link to a record that is not there waits for it; weak links may name what comes later
 */
export function linkTable(numberOf: (id: string) => number | undefined): LinkTableWrites {
  let from = new Int32Array(0);
  let to = new Int32Array(0);
  let roles = new Uint8Array(0);
  let nextOut = new Int32Array(0);
  let nextIn = new Int32Array(0);
  let priorIn = new Int32Array(0);
  let used = 0;
  let free = NONE;
  const firstOut: number[] = [];
  const firstIn: number[] = [];
  const waiting = new Map<string, { readonly number: number; readonly role: number }[]>();
  /** What a record names and nobody has seen yet. */
  const wants = new Map<number, readonly string[]>();

  return {
    namedBy: (number, role) =>
      chain(firstOut[number], nextOut, to, role === undefined ? NONE : roleOf(role)),
    namersOf: (number, role) =>
      chain(firstIn[number], nextIn, from, role === undefined ? NONE : roleOf(role)),
    setLinks(id, number, links) {
      firstOut[number] ??= NONE;
      firstIn[number] ??= NONE;
      unlink(number);
      const missing: string[] = [];
      for (const { role, to: toId } of links) {
        const target = numberOf(toId);
        if (target !== undefined) join(number, roleOf(role), target);
        else {
          missing.push(toId);
          wait(toId, number, roleOf(role));
        }
      }
      if (missing.length > 0) wants.set(number, missing);
      const early = waiting.get(id);
      if (early === undefined) return;
      waiting.delete(id);
      for (const one of early) join(one.number, one.role, number);
    },
    dropLinks(id, number) {
      unlink(number);
      for (let at = firstIn[number]; at !== NONE; at = firstIn[number]) {
        wait(id, from[at], roles[at]);
        wants.set(from[at], [...(wants.get(from[at]) ?? []), id]);
        cut(at);
      }
    },
  };

  function chain(first: number | undefined, next: Int32Array, ends: Int32Array, role: number) {
    if (first === undefined || first === NONE) return NOBODY;
    const found: number[] = [];
    for (let at = first; at !== NONE; at = next[at]) {
      if (role === NONE || roles[at] === role) found.push(ends[at]);
    }
    return found;
  }

  function unlink(number: number): void {
    while (firstOut[number] !== NONE) cut(firstOut[number]);
    for (const id of wants.get(number) ?? []) {
      const left = waiting.get(id)?.filter((one) => one.number !== number) ?? [];
      if (left.length > 0) waiting.set(id, left);
      else waiting.delete(id);
    }
    wants.delete(number);
  }

  function wait(id: string, number: number, role: number): void {
    const others = waiting.get(id);
    if (others === undefined) waiting.set(id, [{ number, role }]);
    else others.push({ number, role });
  }

  function join(number: number, role: number, target: number): void {
    firstIn[target] ??= NONE;
    const at = free === NONE ? used++ : free;
    if (free !== NONE) free = nextOut[free];
    if (at === from.length) grow();
    from[at] = number;
    to[at] = target;
    roles[at] = role;
    nextOut[at] = firstOut[number];
    firstOut[number] = at;
    nextIn[at] = firstIn[target];
    priorIn[at] = NONE;
    if (firstIn[target] !== NONE) priorIn[firstIn[target]] = at;
    firstIn[target] = at;
  }

  function cut(at: number): void {
    const number = from[at];
    if (firstOut[number] === at) firstOut[number] = nextOut[at];
    else {
      let before = firstOut[number];
      while (nextOut[before] !== at) before = nextOut[before];
      nextOut[before] = nextOut[at];
    }
    if (priorIn[at] === NONE) firstIn[to[at]] = nextIn[at];
    else nextIn[priorIn[at]] = nextIn[at];
    if (nextIn[at] !== NONE) priorIn[nextIn[at]] = priorIn[at];
    nextOut[at] = free;
    free = at;
  }

  function grow(): void {
    const room = Math.max(1024, Math.ceil(from.length * 1.5));
    const longer = (array: Int32Array<ArrayBuffer>) => {
      const more = new Int32Array(room);
      more.set(array);
      return more;
    };
    from = longer(from);
    to = longer(to);
    nextOut = longer(nextOut);
    nextIn = longer(nextIn);
    priorIn = longer(priorIn);
    const more = new Uint8Array(room);
    more.set(roles);
    roles = more;
  }
}

function roleOf(role: string): number {
  return COLOUR_ROLES.indexOf(role as LinkRole);
}
