import { AppError, invalidInput } from '../../core/errors.ts';
import { foretellMix } from './predict-mix.ts';
import type { Answer, Ask, Finding, Sent } from './messages.ts';
import { type OpenSource, openSource, parentsOf } from './open-clay.ts';
import { reachOf } from './gamut-here.ts';
import { seekHere } from './find-here.ts';

let open: OpenSource | undefined;
/** The newest ask; an older search ends when it sees another. */
let newest = 0;
/** The search that was stopped: it still says what it has. */
let stopped = 0;

const say = (id: number, body: Answer) => self.postMessage({ id, body } satisfies Sent<Answer>);

self.addEventListener('message', ({ data }: MessageEvent<Sent<Ask>>) => {
  if (data.body.do === 'stop') stopped = newest;
  newest = data.id;
  void answer(data).catch((fault: unknown) => {
    const told = fault instanceof AppError ? fault : undefined;
    say(data.id, {
      kind: 'fault',
      code: told?.code ?? 'unforeseen',
      detail: told?.detail ?? String(fault),
      hint: told?.hint ?? 'Load the page again; nothing that was kept is lost.',
    });
  });
});

async function answer({ id, body }: Sent<Ask>): Promise<void> {
  switch (body.do) {
    case 'open':
      open = openSource(body.source);
      return say(id, { kind: 'opened', parents: parentsOf(open.predictor), basis: open.basis });
    case 'foretell':
      return say(id, { kind: 'foretold', foretold: foretellMix(clays().predictor, body.parts) });
    case 'hand-over':
      return say(id, { kind: 'handed-over', predictor: clays().predictor });
    case 'seek': {
      const { predictor, basis } = clays();
      const hear = (finding: Finding) => {
        if (newest === id || stopped === id) say(id, { kind: 'found', ...finding });
      };
      return seekHere(predictor, basis, body.ask, hear, () => newest !== id);
    }
    case 'reach':
      return say(id, { kind: 'reached', points: reachOf(clays().predictor, body.parents) });
    case 'stop':
      return undefined;
  }
}

function clays(): OpenSource {
  if (open === undefined) throw invalidInput('No clays are open yet.');
  return open;
}
