import type { MixGraph } from './mix-graph.ts';
import { mixResolver, type Resolution, type ResolvedMix } from './resolve-mix.ts';

export interface ShareChange {
  readonly id: string;
  /** 0 where it was not in the mix; at the middle densities. */
  readonly before: number;
  /** 0 where it is no longer in it. */
  readonly after: number;
}

export interface MixChange {
  readonly mix: string;
  /** How many mixes lie between it and what changed: 0 is the changed mix, 1 is made of it. */
  readonly steps: number;
  readonly before: Resolution;
  readonly after: Resolution;
  /** Blocks whose portion moves, the largest move first; empty where one side does not resolve. */
  readonly blocks: readonly ShareChange[];
  readonly powders: readonly ShareChange[];
}

export type WhatChanges =
  | { readonly status: 'changes'; readonly mixes: readonly MixChange[] }
  | { readonly status: 'refused'; readonly because: Exclude<Resolution, ResolvedMix> };

/**
 * What a changed clay changes in the mixes made of it, and in theirs.
 * Shape:   the graph as it was and as it would be, the id of the block or mix that differs -> every
 *          mix that holds it, the nearest first
 * Refuses: a change that makes a circle, names an unknown clay or nests too deep, as a value
 * Holds:   a mix that is not listed has the same portions before and after
 */
export function whatChanges(before: MixGraph, after: MixGraph, changed: string): WhatChanges {
  const [was, is] = [mixResolver(before), mixResolver(after)];
  if (after.mixes.has(changed)) {
    const because = is.resolve(changed);
    if (because.status !== 'resolved') return { status: 'refused', because };
  }
  const mixes = madeOf(after, changed).map(({ mix, steps }): MixChange => {
    const [one, other] = [was.resolve(mix), is.resolve(mix)];
    const both = one.status === 'resolved' && other.status === 'resolved';
    return {
      mix,
      steps,
      before: one,
      after: other,
      blocks: both ? moves(one.blocks, other.blocks) : [],
      powders: both ? moves(one.powders, other.powders) : [],
    };
  });
  return { status: 'changes', mixes };
}

/** The mixes that hold a clay, however deep, by fewest steps; the clay itself if it is one. */
export function madeOf(
  { mixes }: Pick<MixGraph, 'mixes'>,
  clay: string,
): readonly { readonly mix: string; readonly steps: number }[] {
  const holders = new Map<string, string[]>();
  for (const [mix, { parts }] of mixes) {
    for (const part of parts) {
      const list = holders.get(part.clay);
      if (list === undefined) holders.set(part.clay, [mix]);
      else list.push(mix);
    }
  }
  const found = new Map([[clay, 0]]);
  // A map gives what is added while it is walked, so this goes through the holders level by level.
  for (const [id, steps] of found) {
    for (const holder of holders.get(id) ?? [])
      if (!found.has(holder)) found.set(holder, steps + 1);
  }
  return [...found].flatMap(([mix, steps]) => (mixes.has(mix) ? [{ mix, steps }] : []));
}

function moves(
  before: ResolvedMix['blocks'],
  after: ResolvedMix['blocks'],
): readonly ShareChange[] {
  const [was, is] = [before, after].map((shares) => new Map(shares.map((s) => [s.id, s.share])));
  return [...new Set([...was.keys(), ...is.keys()])]
    .map((id) => ({ id, before: was.get(id) ?? 0, after: is.get(id) ?? 0 }))
    .filter((move) => move.before !== move.after)
    .sort((one, other) => Math.abs(other.after - other.before) - Math.abs(one.after - one.before));
}
