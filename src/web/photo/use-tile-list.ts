import { useMemo, useRef } from 'react';
import type { Target } from './match-code.ts';
import { withNewClays } from './new-clays.ts';
import type { PhotoRead } from './photo-reads.ts';
import { type PhotoRow, photoRows } from './photo-rows.ts';
import type { PhotoSession, RawTile, State } from './photo-session-store.ts';
import type { KnownRow } from './photo-words.ts';
import { useTargets } from './use-targets.ts';

/** A tile of the photos with what the user typed and what that means in the book. */
export interface TileHere extends KnownRow {
  readonly text: string;
  readonly state: State;
  /** Whether it will be saved. */
  readonly take: boolean;
  readonly isPending: boolean;
  /** The user said that this text belongs to this tile, though the colour is far from it. */
  readonly sure: boolean;
}

/** The tiles of all photos, in the order of their trays. */
export function useTileList(
  session: PhotoSession,
  reads: readonly PhotoRead[],
): readonly TileHere[] {
  const rows = useMemo(() => photoRows(reads), [reads]);
  const said = rows.map((row) => {
    const own = session.rows[row.key] ?? {};
    const state = own.state ?? session.state;
    const raw = state === 'baked' ? rawAt(row, session) : undefined;
    const text = own.text ?? raw?.text ?? printedFor(row, session.printed);
    return {
      text,
      ...(raw?.text === text ? { tileId: raw.tileId } : {}),
      state,
      take: own.take ?? row.worth > 0,
      newBlock: own.newBlock ?? false,
      sure: own.sure === text,
    };
  });
  const asked = useTargets(said.map(({ text, state, tileId }) => ({ text, state, tileId })));
  const targets = useStableTargets(
    withNewClays(said.map((one, i) => ({ ...one, target: asked[i].target }))),
  );
  return rows.map((row, i) => {
    const { text, state, take, sure } = said[i];
    return { row, text, state, take, sure, ...asked[i], target: targets[i] };
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
function printedFor(row: PhotoRow, printed: readonly string[]): string {
  return isPlace(row) ? (printed[Number(row.name) - 1] ?? '') : '';
}

/** The raw tile that was accepted at this place of the sheet. */
function rawAt(row: PhotoRow, { raws }: PhotoSession): RawTile | undefined {
  return isPlace(row) ? raws[row.name] : undefined;
}

/** Whether a tile is called by its place on a sheet. */
export function isPlace({ name, shots }: PhotoRow): boolean {
  return shots[0].photoResult.sheet !== null && /^\d+$/.test(name);
}
