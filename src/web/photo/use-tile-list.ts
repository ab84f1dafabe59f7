import { useMemo, useRef } from 'react';
import type { Target } from './match-code.ts';
import { withNewClays } from './new-clays.ts';
import type { PhotoRead } from './photo-reads.ts';
import { type PhotoRow, photoRows } from './photo-rows.ts';
import type { PhotoSession, State } from './photo-session-store.ts';
import type { KnownRow } from './photo-words.ts';
import { useTargets } from './use-targets.ts';

/** A tile of the photos with what the user typed and what that means in the book. */
export interface TileHere extends KnownRow {
  readonly text: string;
  readonly state: State;
  /** Whether it will be saved. */
  readonly take: boolean;
  readonly isPending: boolean;
}

/** The tiles of all photos, the doubtful ones first. */
export function useTileList(
  session: PhotoSession,
  reads: readonly PhotoRead[],
): readonly TileHere[] {
  const rows = useMemo(() => photoRows(reads), [reads]);
  const said = rows.map((row) => {
    const own = session.rows[row.key] ?? {};
    return {
      text: own.text ?? printedFor(row, session.printed),
      state: own.state ?? session.state,
      take: own.take ?? row.worth > 0,
      newBlock: own.newBlock ?? false,
    };
  });
  const asked = useTargets(said.map(({ text, state }) => ({ text, state })));
  const targets = useStableTargets(
    withNewClays(said.map((one, i) => ({ ...one, target: asked[i].target }))),
  );
  return rows.map((row, i) => {
    const { text, state, take } = said[i];
    return { row, text, state, take, ...asked[i], target: targets[i] };
  });
}

/** Keeps the same objects for equal targets, so that unchanged rows do not render again. */
function useStableTargets(targets: readonly Target[]): readonly Target[] {
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

/** The code printed for a place of the sheet. */
function printedFor({ name, shots }: PhotoRow, printed: readonly string[]): string {
  const { sheet } = shots[0].photoResult;
  if (sheet === null || !/^\d+$/.test(name)) return '';
  return printed[Number(name) - 1] ?? '';
}
