import type { Predictor } from '../../core/clay/predict.ts';
import { type ClayHints, knownClays } from '../../core/find/known-clays.ts';
import { answered } from '../../core/find/work-steps.ts';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import { find } from '../../verbs/find.ts';
import type { FindAnswer } from '../../verbs/find-answer.ts';
import type { FindAsk, FoundSoFar } from './messages.ts';

/** Hints for errors, in the words of the page. */
const HINTS: ClayHints = {
  all: 'the clays of your book',
  names: 'Stock has them all',
  line: 'Give each block its line in Stock.',
  perhapsLine: 'Lines are named in Stock.',
  stock: 'Enter in Stock what you have.',
  grams: 'Enter their amounts in Stock.',
  density: 'Enter the density of each line in Stock.',
};

/** Least time between two reports of a running search: nobody reads faster, and each report costs time. */
const TELL_MS = 60;

/**
 * Answers a question on the clays at hand and tells what is found as it is found; the first recipes at
 * once. Stopped, it ends with the best so far.
 */
export async function findHere(
  predictor: Predictor,
  basis: Basis,
  rough: ReadonlySet<number>,
  { question, names, usable }: FindAsk,
  hear: (finding: FoundSoFar) => void,
  stopped: () => boolean,
): Promise<void> {
  const clays = { ...knownClays(predictor, names, basis, HINTS), usable, rough };
  let settled = 0;
  let what = '';
  let searching = true;
  let noticeMs = Number.NEGATIVE_INFINITY;
  const say = (found: FindAnswer, done = false) => {
    hear({ found, searching, settled, what, done });
  };
  const found = await answered(
    find.run(clays, question, (soFar) => {
      if (soFar.proven) searching = false;
      say(soFar);
    }),
    {
      nowMs: () => performance.now(),
      breathe,
      stopped,
      worked({ what: now, run, tell }) {
        what = now;
        settled = run.settled ?? settled;
        if (tell === undefined || performance.now() - noticeMs < TELL_MS) return;
        tell();
        noticeMs = performance.now();
      },
      ended: ({ tell }) => {
        if (tell !== undefined) settled = 1;
      },
    },
  );
  searching = false;
  say(found, true);
}

/** Lets a waiting message arrive. */
function breathe(): Promise<void> {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(undefined);
  });
}
