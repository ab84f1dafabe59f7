import { useMemo, useRef } from 'react';
import type { Target } from './match-code.ts';
import { withNewClays } from './new-clays.ts';
import type { PhotoRead } from './photo-reads.ts';
import { type PhotoRow, photoRows } from './photo-rows.ts';
import type { PhotoSession, State } from './photo-session-store.ts';
import type { KnownRow } from './photo-words.ts';
import { useTargets } from './use-targets.ts';

/** A tile of the photos with what she said of it and what that stands for in the book. */
export interface TileHere extends KnownRow {
  readonly text: string;
  readonly state: State;
  /** Whether it goes into the book. */
  readonly take: boolean;
  readonly isPending: boolean;
}

/** The tiles of all photos, what is doubtful first. */
export function useTileList(desk: PhotoSession, reads: readonly PhotoRead[]): readonly TileHere[] {
  const rows = useMemo(() => photoRows(reads), [reads]);
  const said = rows.map((row) => {
    const own = desk.rows[row.key] ?? {};
    return {
      text: own.text ?? printedFor(row, desk.printed),
      state: own.state ?? desk.state,
      take: own.take ?? row.worth > 0,
      newBlock: own.newBlock ?? false,
    };
  });
  const asked = useTargets(said.map(({ text, state }) => ({ text, state })));
  const targets = useStableOrder(
    withNewClays(said.map((one, i) => ({ ...one, target: asked[i].target }))),
  );
  return rows.map((row, i) => {
    const { text, state, take } = said[i];
    return { row, text, state, take, ...asked[i], target: targets[i] };
  });
}

/** The same objects as before for what says the same, so that rows nothing happened to are not drawn anew. */
function useStableOrder(targets: readonly Target[]): readonly Target[] {
  const before = useRef(new Map<string, Target>());
  const now = new Map<string, Target>();
  const steady = targets.map((target) => {
    const key = JSON.stringify(target);
    const same = before.current.get(key) ?? target;
    now.set(key, same);
    return same;
  });
  before.current = now;
  return steady;
}

/** On a printed sheet a place has the code that was printed beside it. */
function printedFor({ name, shots }: PhotoRow, printed: readonly string[]): string {
  const { sheet } = shots[0].told;
  if (sheet === null || !/^\d+$/.test(name)) return '';
  return printed[Number(name) - 1] ?? '';
}
