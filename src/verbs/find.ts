import { finding } from '../core/find/find-answer.ts';
import type { FindTask as PlainQuestion } from '../core/find/find-plan.ts';
import type { KnownClays } from '../core/find/known-clays.ts';
import type { WorkSteps } from '../core/find/work-steps.ts';
import { readAim } from './aim.ts';
import { type AimTaken, explanationsOf } from './answer-parts.ts';
import { type FindAnswer, findAnswer } from './find-answer.ts';
import { type FindQuestion, findQuestion } from './find-question.ts';
import { verb } from './verb.ts';

/**
 * The whole-part recipes of some clays that give an aim, the likeliest first.
 * Refuses: as `finding` and `readAim`
 * Returns: as `finding`; `proven` false and the best so far when it was stopped or its time was over
 */
export const find = verb({
  name: 'find',
  asks: 'Which whole parts give this colour?',
  question: findQuestion,
  answer: findAnswer,
  endsEarly: true,
  *run(
    clays: KnownClays,
    question: FindQuestion,
    hear: (soFar: FindAnswer) => void = () => {},
  ): WorkSteps<FindAnswer> {
    const aim = readAim(question.aim, question.viewing, clays);
    const found = yield* finding(clays, plainQuestion(question, aim), (soFar) =>
      hear({ aim, ...soFar }),
    );
    return { aim, ...found, ...explanationsOf(clays) };
  },
});

/** The question as the core has it: the aim as a colour, every light with its observer. */
function plainQuestion(question: FindQuestion, { lab }: AimTaken): PlainQuestion {
  const { aim: _, otherLights, viewing, ...rest } = question;
  const others = new Set(otherLights);
  others.delete(viewing.light);
  const otherViewings = [...others].map((light) => ({ light, observer: viewing.observer }));
  return { ...rest, viewing, aim: lab, ...(otherViewings.length === 0 ? {} : { otherViewings }) };
}
