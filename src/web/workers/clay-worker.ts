import type { Predictor } from '../../core/clay/predict.ts';
import { AppError, invalidInput } from '../../core/errors.ts';
import { startSeek } from '../../core/recipe/seek.ts';
import type { Answer, Ask, Found, SeekAsk, Sent } from './messages.ts';
import { foretellMix, openSource, parentsOf } from './open-clay.ts';
import { reachOf } from './reach-here.ts';
import { judged, optionsOf, shortfallOf } from './seek-here.ts';

/** So long it works before it hears whether it is to stop. */
const TURN_MS = 25;
/** Recipes between two looks at the clock. */
const BUDGET = 4000;

let predictor: Predictor | undefined;
/** The newest ask; an older search ends when it sees another. */
let newest = 0;

const say = (id: number, body: Answer) => self.postMessage({ id, body } satisfies Sent<Answer>);

self.addEventListener('message', ({ data }: MessageEvent<Sent<Ask>>) => {
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
      predictor = openSource(body.source);
      return say(id, { kind: 'opened', parents: parentsOf(predictor) });
    case 'foretell':
      return say(id, { kind: 'foretold', foretold: foretellMix(clays(), body.parts) });
    case 'seek':
      return seek(id, clays(), body.call);
    case 'reach':
      return say(id, { kind: 'reached', points: reachOf(clays(), body.parents) });
    case 'stop':
      return undefined;
  }
}

function clays(): Predictor {
  if (predictor === undefined) throw invalidInput('No clays are open yet.');
  return predictor;
}

async function seek(id: number, from: Predictor, ask: SeekAsk): Promise<void> {
  const run = startSeek(from, optionsOf(ask));
  const known = new Map<string, Found>();
  let told = '';
  for (let done = false; !done; ) {
    const until = performance.now() + TURN_MS;
    while (!done && performance.now() < until) done = run.step(BUDGET);
    const best = run.best();
    const now = best.map(({ parts }) => parts.map((p) => `${p.parent}x${p.parts}`).join(' '));
    const recipes = best.map((recipe, i) => {
      const found = known.get(now[i]) ?? judged(from, ask, recipe);
      known.set(now[i], found);
      return found;
    });
    if (done) {
      const near = best[0] !== undefined && best[0].dE00 <= ask.tolerance;
      say(id, { kind: 'found', recipes, settled: 1, total: run.total, done: near });
      if (near) return;
      const shortfall = shortfallOf(from, ask, best[0]);
      return say(id, { kind: 'found', recipes, settled: 1, total: run.total, done, shortfall });
    }
    const text = now.join('; ');
    if (text !== told || run.settled > 0) {
      say(id, { kind: 'found', recipes, settled: run.settled, total: run.total, done });
    }
    told = text;
    await breath();
    if (newest !== id) return;
  }
}

/** Lets a message that waits come in. */
function breath(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, 0));
}
