import type { KnownClays } from '../../core/find/known-clays.ts';
import { answered } from '../../core/find/work-steps.ts';
import { find } from '../../verbs/find.ts';
import type { FindAnswer } from '../../verbs/find-answer.ts';
import type { FindQuestion } from '../../verbs/find-question.ts';
import { breathe } from './known-here.ts';
import type { FoundSoFar } from './messages.ts';

/** Least time between two reports of a running search: nobody reads faster, and each report costs time. */
const TELL_MS = 300;

/**
 * Answers a question on the clays at hand and tells what is found as it is found; the first recipes at
 * once. Stopped, it ends with the best so far.
 */
export async function findHere(
  clays: KnownClays,
  question: FindQuestion,
  hear: (finding: FoundSoFar) => void,
  stopped: () => boolean,
): Promise<void> {
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
