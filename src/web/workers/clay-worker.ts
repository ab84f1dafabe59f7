import { invalidInput } from '../../core/errors.ts';
import { coloursOfMixes } from '../../core/range/mixed-colours.ts';
import { answerHere } from './answer-here.ts';
import type { AnsweredSoFar } from './asked-verbs.ts';
import { faultInWords } from './fault-in-words.ts';
import { findHere } from './find-here.ts';
import { knownHere } from './known-here.ts';
import type { Answer, Ask, FoundSoFar, Sent } from './messages.ts';
import { claysOf, type OpenSource, openSource } from './open-clay.ts';
import { predictHere } from './predict-mix.ts';

let open: OpenSource | undefined;
/** The newest request; an older search ends when it sees another. */
let newest = 0;
/** The stopped search, which still reports its best so far. */
let stopped = 0;

const say = (id: number, body: Answer) => self.postMessage({ id, body } satisfies Sent<Answer>);

self.addEventListener('message', ({ data }: MessageEvent<Sent<Ask>>) => {
  if (data.body.do === 'stop') stopped = newest;
  newest = data.id;
  void answer(data).catch((fault: unknown) => {
    say(data.id, { kind: 'fault', ...faultInWords(fault) });
  });
});

async function answer({ id, body }: Sent<Ask>): Promise<void> {
  switch (body.do) {
    case 'open':
      open = openSource(body.source);
      return say(id, { kind: 'opened', clays: claysOf(open), basis: open.basis });
    case 'predict':
      return say(id, { kind: 'predicted', predicted: predictHere(clays().predictor, body.parts) });
    case 'hand-over':
      return say(id, { kind: 'handed-over', predictor: clays().predictor });
    case 'find': {
      const hear = (finding: FoundSoFar) => {
        if (newest === id || stopped === id) say(id, { kind: 'found', ...finding });
      };
      return findHere(knownHere(clays(), body.ask), body.ask.question, hear, () => newest !== id);
    }
    case 'ask': {
      const hear = (soFar: AnsweredSoFar) => {
        if (newest === id || stopped === id) say(id, { kind: 'answered', ...soFar });
      };
      return answerHere(knownHere(clays(), body.ask), body.ask, hear, () => newest !== id);
    }
    case 'reach':
      return say(id, { kind: 'reached', points: coloursOfMixes(clays().predictor, body.clays) });
    case 'stop':
      return undefined;
  }
}

function clays(): OpenSource {
  if (open === undefined) throw invalidInput('No clays are open yet.');
  return open;
}
