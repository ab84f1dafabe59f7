import { AppError } from '../../core/errors.ts';
import { answeredAtOnce } from '../../core/find/work-steps.ts';
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
          ? answeredAtOnce(hold.ask(request.subject, request.question))
          : answeredAtOnce(bake.ask(request.subject, request.question)),
    };
  } catch (fault) {
    const { detail, hint } =
      fault instanceof AppError ? fault : { detail: String(fault), hint: 'Reload the page.' };
    return { fault: `${detail} ${hint}` };
  }
}
