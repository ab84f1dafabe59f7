import { AppError } from '../../core/errors.ts';
import type { WorkSteps } from '../../core/find/work-steps.ts';
import { bake } from '../../verbs/bake.ts';
import { hold } from '../../verbs/hold.ts';
import type { StrengthReply, StrengthRequest } from './strength-messages.ts';

self.addEventListener('message', ({ data }: MessageEvent<StrengthRequest>) => {
  self.postMessage({ id: data.id, ...replyTo(data) } satisfies StrengthReply);
});

function replyTo(request: StrengthRequest) {
  try {
    return {
      answer:
        request.verb === 'hold'
          ? finished(hold.ask(request.subject, request.question))
          : finished(bake.ask(request.subject, request.question)),
    };
  } catch (fault) {
    const { detail, hint } =
      fault instanceof AppError ? fault : { detail: String(fault), hint: 'Reload the page.' };
    return { fault: `${detail} ${hint}` };
  }
}

/** Both questions are one piece of work. */
function finished<T>(work: WorkSteps<T>): T {
  let next = work.next();
  while (next.done !== true) {
    while (!next.value.run.step(1));
    next = work.next('whole');
  }
  return next.value;
}
