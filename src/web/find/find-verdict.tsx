import { Link } from '@tanstack/react-router';
import { useMemo } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { type VerdictInWords, verdictInWords } from '../../core/verdict/verdict-in-words.ts';
import type { OpenClays } from '../book/clays.ts';
import { JobProgress } from '../parts/job-progress.tsx';
import { VerdictLine } from '../parts/verdict.tsx';
import type { Prediction } from '../workers/messages.ts';
import type { FindRequest } from './find-request.ts';
import { recipeNotes } from './recipe-notes.ts';
import type { Studio } from './studio.ts';
import type { Hand } from './use-hand.ts';

/** What keeps the verdict waiting. */
export function VerdictComing({ what }: { readonly what: string }) {
  return (
    <section className="find-verdict" aria-label="Verdict">
      <JobProgress what={what} />
    </section>
  );
}

/** What will come of the recipe on the bench, in one line, and what to know before mixing it. */
export function FindVerdict({
  clays,
  studio,
  aim,
  request,
  shown,
  predicted,
  byHand,
  known,
  old,
  gap,
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly aim: Lab;
  readonly request: FindRequest;
  readonly shown: Hand;
  readonly predicted: Prediction | undefined;
  readonly byHand: boolean;
  /** Chance of the recipe unchanged: under all lights asked for. */
  readonly known: number | undefined;
  /** The recipe answers the question before. */
  readonly old: boolean;
  /** Said instead of a verdict where no recipe is close. */
  readonly gap: VerdictInWords | undefined;
}) {
  const { tolerance, batchG, lights } = request;
  // Under one light the chance is worked out for the colour wanted now, while a slider moves too.
  const manyLights = (lights ?? studio.lights).length > 0;
  const chance = manyLights && !old ? known : undefined;
  const verdict = useMemo(
    () =>
      predicted === undefined
        ? undefined
        : verdictInWords(aim, predicted.lab, predicted.covariance, tolerance, chance),
    [aim, predicted, tolerance, chance],
  );
  const words = gap ?? verdict;
  const notes = useMemo(
    () => recipeNotes(shown, studio, clays, batchG),
    [shown, studio, clays, batchG],
  );
  return (
    <section className="find-verdict" aria-label="Verdict">
      {words === undefined ? (
        <p className="lead soft">No recipe yet.</p>
      ) : (
        <VerdictLine words={words} live={byHand} isHeading={gap !== undefined}>
          {notes.map((note) => (
            <p key={note} className="warning small">
              {note}.
            </p>
          ))}
          {clays.rough ? (
            <p className="small soft">
              From the colours of your blocks alone. Surer with every{' '}
              <Link to="/tiles">baked tile</Link>.
            </p>
          ) : null}
        </VerdictLine>
      )}
    </section>
  );
}
