import type { ServerStateStore } from '../book/server-state.ts';
import { canonicalJson, sha256Of } from '../domain/canonical-json.ts';
import { plainFault } from './problem-answers.ts';

/** An answer as it went out. */
export interface SavedAnswer {
  readonly status: number;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: unknown;
}

export interface Idempotency {
  /**
   * Does what a key stands for once; sent again, it gets the answer of then.
   * Refuses: the key with other words -> key-used-otherwise (422); still being done -> still-doing;
   *          the program stopped in the middle -> perhaps-done, where the journal cannot tell
   */
  do(
    call: {
      readonly key: string;
      readonly said: unknown;
      /** The journal knows the key too, so that even a crash in the middle cannot do it twice. */
      readonly inJournal: boolean;
    },
    work: () => Promise<SavedAnswer>,
  ): Promise<{ readonly answer: SavedAnswer; readonly again: boolean }>;
}

const SPACE = 'answer';
const LIFE_MS = 24 * 60 * 60 * 1000;
/** Keys after which old answers are looked through. */
const SWEEP_EVERY = 500;

interface Kept {
  readonly said: string;
  readonly at: number;
  /** Absent while it is being done. */
  readonly answer?: SavedAnswer;
}

/** Removes all saved answers, because answers about a replaced book would be given for the new one. */
export async function forgetAnswers(side: ServerStateStore): Promise<void> {
  for (const { key } of await side.list(SPACE)) await side.remove(SPACE, key);
}

/** Source: draft-ietf-httpapi-idempotency-key-header, whose 409 and 422 these are */
export async function idempotencyFor(
  side: ServerStateStore,
  nowEpochMs: () => number,
): Promise<Idempotency> {
  const doing = new Set<string>();
  let sinceSweep = 0;
  await sweep();
  return {
    async do({ key, said, inJournal }, work) {
      const name = sha256Of(key);
      const print = sha256Of(Buffer.isBuffer(said) ? said : canonicalJson(said ?? null));
      if (doing.has(name)) throw stillDoing();
      doing.add(name);
      try {
        const kept = (await side.get(SPACE, name)) as Kept | undefined;
        if (kept !== undefined) {
          if (kept.said !== print) throw usedOtherwise();
          if (kept.answer !== undefined) return { answer: kept.answer, again: true };
          if (!inJournal) throw perhapsDone();
        }
        const begun: Kept = { said: print, at: nowEpochMs() };
        await side.put(SPACE, name, begun);
        let answer: SavedAnswer;
        try {
          answer = await work();
        } catch (fault) {
          await side.remove(SPACE, name);
          throw fault;
        }
        await side.put(SPACE, name, { ...begun, answer });
        if (++sinceSweep >= SWEEP_EVERY) await sweep();
        return { answer, again: false };
      } finally {
        doing.delete(name);
      }
    },
  };

  async function sweep(): Promise<void> {
    sinceSweep = 0;
    const before = nowEpochMs() - LIFE_MS;
    for (const { key, value } of await side.list(SPACE)) {
      if ((value as Kept).at < before) await side.remove(SPACE, key);
    }
  }
}

function usedOtherwise() {
  return plainFault(
    'key-used-otherwise',
    'bad-input',
    'This Idempotency-Key was sent before with other words.',
    'Take a new key for a new call.',
  );
}

function stillDoing() {
  return plainFault(
    'still-doing',
    'conflict',
    'The call with this Idempotency-Key is still being done.',
    'Send it again in a moment to get its answer.',
    { retry: true },
  );
}

function perhapsDone() {
  return plainFault(
    'perhaps-done',
    'conflict',
    'The program stopped while this was being done, and cannot tell whether it was.',
    'Look at the history or the jobs, and ask with a new key if it is still wanted.',
  );
}
