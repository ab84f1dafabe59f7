import type { KnownClays } from '../../core/find/known-clays.ts';
import { asked, type Verb } from '../../verbs/verb.ts';
import { type AnsweredSoFar, ASKED_VERBS, type VerbAsk } from './asked-verbs.ts';
import { breathe } from './known-here.ts';

/** The engine is large, and is fetched when a question first needs it. */
async function optimiser() {
  const [{ highsOptimiser }, { default: url }] = await Promise.all([
    import('../../solver/highs-optimiser.ts'),
    import('highs/runtime?url'),
  ]);
  return highsOptimiser({ locateFile: () => url });
}

/** Answers a question to a verb on the clays at hand, and reports its steps and what there is so far. */
export async function answerHere(
  clays: KnownClays,
  { verb: name, question }: VerbAsk,
  hear: (soFar: AnsweredSoFar) => void,
  stopped: () => boolean,
): Promise<void> {
  const verb = (await ASKED_VERBS[name]()) as unknown as Verb<string, KnownClays>;
  let what = '';
  const work = verb.run(clays, verb.question.parse(question), (answer) =>
    hear({ answer, what, done: false }),
  );
  const { answer } = await asked(work, {
    nowMs: () => performance.now(),
    breathe,
    stopped,
    optimiser,
    progress(now) {
      if (now.what === what) return;
      what = now.what;
      hear({ what, done: false });
    },
  });
  hear({ answer, what, done: true });
}
