import { setTimeout as pause } from 'node:timers/promises';
import type { RestoreOutcome } from '../book/restore-service.ts';
import { AppError } from '../core/errors.ts';
import { restoreBackup } from '../store/restore-backup.ts';

/** A served folder, as far as putting another book into it goes. */
interface Served {
  readonly port: number;
  /** Stops what belongs to the book that goes: jobs that run, answers kept for calls sent twice. */
  readonly leave: () => Promise<void>;
  readonly close: () => Promise<void>;
}

/** What a served folder needs to know about restores. */
export interface Swaps {
  readonly putInPlace: (
    path: string,
    backup: { readonly id: string; readonly fileName: string },
  ) => void;
  readonly last: () => RestoreOutcome | undefined;
  /** The folder holds another book than when it was last served. */
  readonly otherBook: boolean;
  /** Where it was before; the same door is opened again. */
  readonly port?: number;
}

/** So long the answer that it has begun may take to go out. */
const ANSWER_MS = 250;
/** How long the door may be another's before it is given up. */
const DOOR_TRIES = 40;
const DOOR_WAIT_MS = 250;

/**
 * Serves a folder, and when a restore was said yes to: closes the book, lets `restoreBackup` put the other
 * in its place under the folder's lock, and opens again at the same door. Where the backup does not do
 * after all, the book of before is opened again.
 * Holds:   at no moment is the folder replaced while it is open; killed anywhere between, the next who
 *          opens it ends what was decided (`finishRestore`)
 */
export async function swappable<S extends Served>(call: {
  readonly folder: string;
  readonly nowEpochMs: () => number;
  readonly open: (swaps: Swaps) => Promise<S>;
  readonly onTrouble: (fault: unknown) => void;
}): Promise<{ now(): S; close(): Promise<void> }> {
  const { folder, nowEpochMs, open, onTrouble } = call;
  let closed = false;
  let last: RestoreOutcome | undefined;
  let swapping: Promise<void> = Promise.resolve();
  const swaps = {
    last: () => last,
    putInPlace: (from: string, backup: { readonly id: string; readonly fileName: string }) => {
      swapping = swapping.then(() => swap(from, backup)).catch(onTrouble);
    },
  };
  let now = await open({ ...swaps, otherBook: false });
  return {
    now: () => now,
    async close() {
      closed = true;
      await swapping;
      await now.close();
    },
  };

  async function swap(from: string, backup: { readonly id: string; readonly fileName: string }) {
    await pause(ANSWER_MS);
    if (closed) return;
    await now.leave();
    await now.close();
    const { id, fileName } = backup;
    const outcome = { id, fileName, at: new Date(nowEpochMs()).toISOString() };
    try {
      await restoreBackup({ from, folder, nowEpochMs: nowEpochMs() });
      last = outcome;
    } catch (fault) {
      onTrouble(fault);
      last = { ...outcome, refused: refusal(fault) };
    }
    if (closed) return;
    now = await again({ ...swaps, otherBook: last.refused === undefined, port: now.port });
  }

  /** Another program may have taken the door in between; it is knocked at for a while. */
  async function again(backup: Swaps): Promise<S> {
    for (let tries = 1; ; tries++) {
      try {
        return await open(backup);
      } catch (fault) {
        const taken = fault instanceof AppError && fault.code === 'port-taken';
        if (!taken || tries >= DOOR_TRIES) throw fault;
        await pause(DOOR_WAIT_MS);
      }
    }
  }
}

function refusal(fault: unknown): { detail: string; hint: string } {
  if (fault instanceof AppError) return { detail: fault.detail, hint: fault.hint };
  return {
    detail: 'The backup could not be put in place.',
    hint: 'The book is as it was. Try again, or use "kneadwell restore".',
  };
}
