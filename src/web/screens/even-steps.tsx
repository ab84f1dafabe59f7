import '../look/lump.css';
import { useNavigate, useSearch } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { formatRecipe } from '../../core/notation/notation.ts';
import type { LadderAnswer } from '../../verbs/ladder.ts';
import { wordsOf } from '../book/change.ts';
import type { OpenClays } from '../book/clays.ts';
import { client } from '../book/client.ts';
import { useRecord } from '../book/queries.ts';
import { useVerb } from '../book/use-verb.ts';
import type { Studio } from '../find/studio.ts';
import { StudioGate } from '../find/studio-gate.tsx';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Counter } from '../parts/counter.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { EndPicker, type EndRef, partsOfEnd, useEnd } from './lump/end-picker.tsx';
import { recipeOfHand, useHandOfMix } from './lump/hand-of-mix.ts';
import { countsInWords } from './lump/ladder-steps.ts';
import { StepsShown } from './lump/steps-shown.tsx';
import { saveFile } from './share/save-file.ts';

/** Which even steps lead from one colour to another? */
export function EvenSteps() {
  return <StudioGate>{(clays, studio) => <Steps clays={clays} studio={studio} />}</StudioGate>;
}

/** What is usually mixed beside one original to see what a second clay does. */
const RATIOS = ['7:1', '3:1', '1:1'] as const;
const FEWEST = 3;
const MOST = 15;
/** Pieces of one step, as many as can be counted; then as finely as can be cut. */
const PIECES = [8, 12, 24, 48] as const;

function Steps({ clays, studio }: { readonly clays: OpenClays; readonly studio: Studio }) {
  const { from, to } = useSearch({ strict: false });
  const navigate = useNavigate();
  const [steps, setSteps] = useState(5);
  const [parts, setParts] = useState<number>(12);
  const [preMix, setPreMix] = useState(false);
  const [way, setWay] = useState<'even' | 'ratios'>('even');
  const first = useEndRecipe(from, clays, studio);
  const last = useEndRecipe(to, clays, studio);
  const names = [useEnd(from).name, useEnd(to).name] as const;
  const question = useMemo(
    () =>
      first.recipe === undefined || last.recipe === undefined
        ? undefined
        : {
            from: first.recipe,
            to: last.recipe,
            ...(way === 'even' ? { steps, parts, preMix } : { ratios: [...RATIOS] }),
          },
    [first.recipe, last.recipe, steps, parts, preMix, way],
  );
  const heard = useVerb(clays, studio, 'ladder', question);
  const answer = heard.latest?.answer;
  const ends = heard.old ? undefined : answer?.ends;
  const go = (ends: { readonly from?: EndRef | undefined; readonly to?: EndRef | undefined }) =>
    void navigate({
      to: '/even-steps',
      search: {
        ...(ends.from === undefined ? {} : { from: ends.from }),
        ...(ends.to === undefined ? {} : { to: ends.to }),
      },
      replace: true,
    });
  const why = first.why ?? last.why;
  return (
    <div className="screen steps">
      <header className="mend-head">
        <h1>Even steps</h1>
      </header>
      <div className="steps-ask">
        <EndPicker
          label="From"
          value={from}
          predicted={ends?.[0]}
          onChange={(end) => go({ from: end, to })}
        />
        <EndPicker
          label="To"
          value={to}
          predicted={ends?.[1]}
          onChange={(end) => go({ from, to: end })}
        />
        {way === 'ratios' ? null : (
          <>
            <Counter label="Steps" value={steps} least={FEWEST} most={MOST} onChange={setSteps} />
            <Counter
              label="Most pieces in a step"
              value={parts}
              choices={PIECES}
              onChange={setParts}
            />
          </>
        )}
        <Choice
          label="Which steps?"
          value={way}
          onChange={setWay}
          options={[
            ['even', 'Even to the eye'],
            ['ratios', RATIOS.map((ratio) => ratio.replace(':', ' : ')).join(', ')],
          ]}
        />
      </div>
      {why === undefined ? null : <p className="warning">{why}</p>}
      {heard.fault === undefined || question === undefined ? null : (
        <p className="warning lead">{wordsOf(heard.fault)}</p>
      )}
      {question === undefined ? (
        <EmptyState
          picture="steps"
          title={from === undefined ? 'Choose the clay or mix to start from' : 'Choose where to go'}
        >
          Each step looks as far from the next as all the others, in pieces you can count.
        </EmptyState>
      ) : answer === undefined ? (
        heard.fault === undefined ? (
          <JobProgress what={heard.latest?.what || 'Choosing steps'} onStop={heard.stop} />
        ) : null
      ) : (
        <>
          <StepsShown
            clays={clays}
            studio={studio}
            answer={answer}
            names={names}
            onParts={setParts}
            onPreMix={setPreMix}
          />
          <div className="actions">
            <Button kind="quiet" onPress={() => savePage(answer, names)}>
              Save the steps to print (PDF)
            </Button>
          </div>
        </>
      )}
    </div>
  );
}

/** The steps as a page in true colours. */
function savePage({ steps }: LadderAnswer, [from, to]: readonly [string, string]): Promise<void> {
  const drawn = steps.map((step) => ({
    title: countsInWords(step),
    recipe: formatRecipe(step.parts),
    lab: step.shown,
  }));
  const body = { what: 'ladder', title: `${from} to ${to}`.slice(0, 120), steps: drawn } as const;
  return saveFile(() => client.call('printSheets', { body }), 'even-steps.pdf');
}

/** The recipe of an end as verbs take it, or why there is none. */
function useEndRecipe(end: EndRef | undefined, clays: OpenClays, studio: Studio) {
  const [kind, id] = partsOfEnd(end ?? '');
  const { record } = useRecord(kind === 'mix' && id !== '' ? id : undefined);
  const mix = record?.kind === 'mix' ? record : undefined;
  const held = useHandOfMix(mix, clays);
  return useMemo(() => {
    if (end === undefined) return {};
    if (kind === 'kind') return { recipe: id };
    if (kind === 'block') {
      const recipe = recipeOfHand([{ blockId: id, parts: 1 }], studio);
      return recipe === undefined
        ? { why: 'Nothing is known of the colour of that clay.' }
        : { recipe };
    }
    if (held.state === 'no') return { why: held.why };
    return held.state === 'loading' || mix === undefined
      ? {}
      : { recipe: recipeOfHand(held.hand, studio) };
  }, [end, kind, id, held, mix, studio]);
}
