import { HOUSE_VIEWING } from '../../core/colour/house-viewing.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { AppError, type FaultKind } from '../../core/errors.ts';
import { FIND_DEFAULTS } from '../../core/find/find-limits.ts';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import type { FindQuestion } from '../../verbs/find-question.ts';
import { firstTouch } from '../book/first-touch.ts';
import { idle } from '../book/idle.ts';
import type { AnsweredSoFar, AnswerOf, AskedVerb, VerbAsk } from './asked-verbs.ts';
import type {
  Answer,
  Ask,
  ClaySource,
  FindAsk,
  FoundSoFar,
  KnownClay,
  Prediction,
  Sent,
  Share,
} from './messages.ts';

/**
 * The clays, open in two workers: one predicts, so that it never waits, the other searches. Only the newest
 * prediction matters. The page itself predicts moved pieces once it has the clays.
 */
export interface ClayWorkerClient {
  readonly clays: readonly KnownClay[];
  /** Parts by volume or by weight. */
  readonly basis: Basis;
  /** The same parts twice in a row are predicted once. */
  predict(parts: readonly Share[]): Promise<Prediction>;
  /** The prediction at once; undefined until the page has the clays, or if this machine is too slow. */
  predictNow(parts: readonly Share[]): Prediction | undefined;
  /** Loads the clays into the page once somebody touches the page, for moving pieces by hand. */
  bringToHand(): void;
  /** Reports recipes as they are found. */
  find(ask: FindAsk, hear: (finding: FoundSoFar) => void, fault: (fault: AppError) => void): Asked;
  /** Asks a verb; reports its steps, and what is known so far. */
  ask<N extends AskedVerb>(
    ask: VerbAsk<N>,
    hear: (soFar: AnsweredSoFar<AnswerOf<N>>) => void,
    fault: (fault: AppError) => void,
  ): Asked;
  reach(clays: readonly number[]): Promise<readonly Lab[]>;
  close(): void;
}

/** A request that may take a while. */
export interface Asked {
  /** Ends soon, with the best so far. */
  stop(): void;
  /** Ends without any further report. */
  leave(): void;
}

/** Workers that wait for clays: one to predict, one to search. */
let started: readonly [Bench, Bench] | undefined;
let begun = false;

/**
 * Starts the workers of the clays that are opened first, so that they load while the book is read. Clays that
 * are opened after those start their own.
 */
export function startWorkers(): void {
  if (begun) return;
  begun = true;
  started = [bench(), bench()];
}

/** Refuses: as opening and fitting do, with the same AppError. */
export async function openClayWorker(coming: Promise<ClaySource>): Promise<ClayWorkerClient> {
  begun = true;
  const [hand, search] = started ?? [bench(), bench()];
  started = undefined;
  const close = () => {
    hand.close();
    search.close();
  };
  let opened: Extract<Answer, { kind: 'opened' }>;
  let searching: Promise<unknown>;
  try {
    const source = await coming;
    searching = once(search, { do: 'open', source }, 'opened');
    // The error is reported where the result is awaited.
    searching.catch(() => {});
    opened = await once(hand, { do: 'open', source }, 'opened');
  } catch (fault) {
    close();
    throw fault;
  }
  let lastKey = '';
  let last: Promise<Prediction> | undefined;
  let now: Prediction | undefined;
  let here: Awaited<ReturnType<typeof handOver>>;
  let askedOver = false;
  let found = false;
  /** Makes these parts the newest. */
  const keep = (parts: readonly Share[]) => {
    const key = JSON.stringify(parts);
    if (key === lastKey) return;
    lastKey = key;
    last = undefined;
    now = undefined;
  };
  const searcher = async () => {
    await searching;
    return search;
  };
  /** A question to the searching worker, as soon as that is open. */
  const toSearcher = (
    body: Ask,
    hear: (answer: Answer) => void,
    fault: (fault: AppError) => void,
  ): Asked => {
    let asked: Asked | undefined;
    let left = false;
    searcher()
      .then((bench) => {
        if (left) return;
        asked = bench.ask(body, (answer) => {
          if (answer.kind === 'fault') fault(faultFrom(answer));
          else hear(answer);
        });
      })
      .catch((thrown: unknown) => fault(thrown as AppError));
    return {
      stop() {
        if (asked === undefined) left = true;
        asked?.stop();
      },
      leave() {
        left = true;
        asked?.leave();
      },
    };
  };
  const find: ClayWorkerClient['find'] = (ask, hear, fault) => {
    found = true;
    const heard = (answer: Answer) => {
      if (answer.kind === 'found') hear(answer);
    };
    return toSearcher({ do: 'find', ask }, heard, fault);
  };
  const warmUp = () => {
    const names = opened.clays.map(({ name }) => name);
    const ask = { question: ANY_QUESTION, names, usable: [...names.keys()] };
    const nothing = () => {};
    const any = find(ask, () => any.leave(), nothing);
  };
  return {
    clays: opened.clays,
    basis: opened.basis,
    predict(parts) {
      keep(parts);
      last ??= once(hand, { do: 'predict', parts }, 'predicted').then(({ predicted }) => predicted);
      return last;
    },
    predictNow(parts) {
      if (here === undefined) return undefined;
      keep(parts);
      now ??= here(parts);
      last ??= Promise.resolve(now);
      return now;
    },
    bringToHand() {
      if (askedOver) return;
      askedOver = true;
      firstTouch
        .then(idle)
        .then(() => {
          if (!found) warmUp();
          return handOver(hand);
        })
        .then((came) => {
          here = came;
        })
        // The worker predicts as before.
        .catch(() => {});
    },
    find,
    ask<N extends AskedVerb>(
      ask: VerbAsk<N>,
      hear: (soFar: AnsweredSoFar<AnswerOf<N>>) => void,
      fault: (fault: AppError) => void,
    ) {
      const heard = (answer: Answer) => {
        if (answer.kind === 'answered') hear(answer as AnsweredSoFar<AnswerOf<N>>);
      };
      return toSearcher({ do: 'ask', ask }, heard, fault);
    },
    async reach(from) {
      // Not where a search may run: it would end at the next question.
      return (await once(hand, { do: 'reach', clays: from }, 'reached')).points;
    },
    close,
  };
}

/** Any request, so that the code is optimised before the user's first one. */
const ANY_QUESTION: FindQuestion = {
  ...FIND_DEFAULTS,
  viewing: HOUSE_VIEWING,
  aim: [50, 0, 0],
};

async function handOver(from: Bench) {
  const [{ atHand }, { predictor }] = await Promise.all([
    import('./at-hand.ts'),
    once(from, { do: 'hand-over' }, 'handed-over'),
  ]);
  return atHand(predictor, idle);
}

interface Bench {
  ask(body: Ask, hear: (answer: Answer) => void): Asked;
  close(): void;
}

function bench(): Bench {
  const worker = new Worker(new URL('./clay-worker.ts', import.meta.url), { type: 'module' });
  const hearers = new Map<number, (answer: Answer) => void>();
  let last = 0;
  const send = (body: Ask) => {
    last++;
    worker.postMessage({ id: last, body } satisfies Sent<Ask>);
    return last;
  };
  worker.addEventListener('message', ({ data }: MessageEvent<Sent<Answer>>) => {
    hearers.get(data.id)?.(data.body);
  });
  worker.addEventListener('error', (event) => {
    const detail = event.message || 'The colours could not be calculated.';
    const hint = 'Reload the page. Nothing saved is lost.';
    for (const hear of hearers.values()) hear({ kind: 'fault', code: 'unforeseen', detail, hint });
  });
  return {
    ask(body, hear) {
      const id = send(body);
      hearers.set(id, hear);
      const stop = () => {
        if (hearers.has(id) && id === last) send({ do: 'stop' });
      };
      return {
        stop,
        leave() {
          stop();
          hearers.delete(id);
        },
      };
    },
    close: () => worker.terminate(),
  };
}

function once<K extends Answer['kind']>(
  from: Bench,
  body: Ask,
  kind: K,
): Promise<Extract<Answer, { kind: K }>> {
  return new Promise((resolve, reject) => {
    const asked = from.ask(body, (answer) => {
      if (answer.kind === kind) resolve(answer as Extract<Answer, { kind: K }>);
      else if (answer.kind === 'fault') reject(faultFrom(answer));
      // After the answer, so that this stops nothing.
      queueMicrotask(asked.leave);
    });
  });
}

function faultFrom({ code, detail, hint }: Extract<Answer, { kind: 'fault' }>): AppError {
  return new AppError({ code, kind: 'internal' satisfies FaultKind, detail, hint });
}
