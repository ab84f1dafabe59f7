import { useEffect, useEffectEvent, useState } from 'react';
import { wordsOf } from '../book/change.ts';
import { count } from '../screens/count.ts';
import { focusRow } from './focus-row.ts';
import type { TileHere } from './use-tile-list.ts';

interface Asked {
  /** The tiles to save, in the order of the list. */
  readonly taken: readonly TileHere[];
  /** Those of them that are not named yet. */
  readonly open: readonly TileHere[];
  /** Those of them whose name is far from their colour. */
  readonly doubtful: readonly TileHere[];
  /** The names would fit better in another order. */
  readonly hasBetterOrder: boolean;
  /** A photo is being read. */
  readonly isReading: boolean;
  /** The names are being compared with the colours. */
  readonly isComparing: boolean;
  readonly save: () => Promise<void>;
}

export interface Accepting {
  readonly accept: () => Promise<void>;
  /** Accept was pressed: what is missing is marked. */
  readonly isPressed: boolean;
  readonly isBusy: boolean;
  /** The doubts about the names were said, so the next press of the button saves all the same. */
  readonly isWarned: boolean;
  /** Why nothing is saved yet. */
  readonly no: string | undefined;
  /** What is waited for. */
  readonly waits: string | undefined;
}

/**
 * Saves the tiles of a photo at the press of a button or Enter: only when all are named, read and compared with
 * their names, and only at a second press of the button where names seem wrong.
 */
export function useAccept(asked: Asked): Accepting {
  const { taken, open, doubtful, hasBetterOrder, isReading, isComparing, save } = asked;
  const [no, setNo] = useState<string | undefined>();
  const [isPressed, setPressed] = useState(false);
  const [isBusy, setBusy] = useState(false);
  /** How many tiles stood there when Accept was pressed while there was something to wait for. */
  const [promised, setPromised] = useState<number | undefined>();
  /** The names about which the user was warned. */
  const [warnedOf, setWarnedOf] = useState<string | undefined>();
  const isWaiting = isReading || isComparing;
  const names = JSON.stringify(taken.map(({ row: { key }, text }) => [key, text]));
  const hasDoubts = doubtful.length > 0 || hasBetterOrder;

  /** Enter in the field of a tile leads to the next one of these. */
  const goOn = (tiles: readonly TileHere[]) => {
    const at = taken.findIndex(({ row }) => row.name === rowInUse());
    const next = tiles.find((one) => taken.indexOf(one) > at) ?? tiles[0];
    if (next !== undefined) focusRow(next.row.name);
  };

  const accept = async () => {
    setPressed(true);
    setNo(undefined);
    if (open.length > 0) return goOn(open);
    if (isWaiting) return setPromised(taken.length);
    if (hasDoubts && (warnedOf !== names || rowInUse() !== undefined)) {
      setWarnedOf(names);
      setNo(doubtsInWords(doubtful.length));
      return goOn(doubtful);
    }
    setBusy(true);
    try {
      await save();
      setPressed(false);
    } catch (fault) {
      setNo(wordsOf(fault));
    } finally {
      setBusy(false);
    }
  };

  // Enter is never lost: tiles accepted during a reading are accepted when the reading is done.
  const keepPromise = useEffectEvent(() => {
    setPromised(undefined);
    if (promised === taken.length) return void accept();
    setNo(`The reading now has ${count(taken.length, 'tile')}. Check the list, then accept.`);
  });
  useEffect(() => {
    if (promised !== undefined && !isWaiting) keepPromise();
  }, [promised, isWaiting]);

  return {
    accept,
    isPressed,
    isBusy,
    isWarned: hasDoubts && warnedOf === names,
    no,
    waits: isReading
      ? promised === undefined
        ? 'Reading …'
        : 'Reading. The tiles are saved when the reading is done.'
      : isComparing && promised !== undefined
        ? 'Comparing the names with the colours …'
        : undefined,
  };
}

/** The name of the tile whose field the cursor is in. */
function rowInUse(): string | undefined {
  const field = document.activeElement;
  if (!(field instanceof HTMLInputElement) || field.type !== 'text') return undefined;
  return field.closest('[data-row]')?.getAttribute('data-row') ?? undefined;
}

function doubtsInWords(doubtful: number): string {
  const what =
    doubtful === 0
      ? 'The names fit better in another order, see above.'
      : doubtful === 1
        ? 'One name is far from the colour of its tile.'
        : `${doubtful} names are far from the colours of their tiles.`;
  return `${what} Check, or press the button again to accept.`;
}
