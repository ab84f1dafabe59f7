import { answeredAtOnce } from '../../core/find/work-steps.ts';
import { bake } from '../../verbs/bake.ts';
import { hold } from '../../verbs/hold.ts';
import { faultInWords } from './fault-in-words.ts';
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
    const { detail, hint } = faultInWords(fault);
    return { fault: `${detail} ${hint}`.trim() };
  }
}
