import '../look/lump.css';
import '../parts/stack.css';
import { useNavigate, useSearch } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { make } from '../../domain/changes/steps.ts';
import { BOOK_LIMITS } from '../../domain/records/limits.ts';
import type { LadderAnswer, LadderStep } from '../../verbs/ladder.ts';
import { changeBook, wordsOf } from '../book/change.ts';
import type { OpenClays } from '../book/clays.ts';
import { showNotice } from '../book/notice.ts';
import { useRecord } from '../book/queries.ts';
import { useVerb } from '../book/use-verb.ts';
import { handOfRecipe } from '../find/recipe-hand.ts';
import { type Studio, useStudio } from '../find/studio.ts';
import { Button } from '../parts/button.tsx';
import { ClaysGate } from '../parts/clays-gate.tsx';
import { Part } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { PieceBar } from '../parts/piece-bar.tsx';
import { countInWords, recipeInWords } from '../parts/piece-group.ts';
import { Tile } from '../parts/tile.tsx';
import { count } from './count.ts';
import { EndPicker, type EndRef, partsOfEnd, useEnd } from './lump/end-picker.tsx';
import { recipeOfHand, useHandOfMix } from './lump/hand-of-mix.ts';

/** Which even steps lead from one colour to another? */
export function EvenSteps() {
  return <ClaysGate>{(clays) => <WithStudio clays={clays} />}</ClaysGate>;
}

function WithStudio({ clays }: { readonly clays: OpenClays }) {
  const studio = useStudio(clays);
  if (studio.isPending) return <JobProgress what="Loading your clays" />;
  return <Steps clays={clays} studio={studio} />;
}

const FEWEST = 3;
const MOST = 15;
/** Pieces of one step, as many as can be counted; then as finely as can be cut. */
const PIECES = [8, 12, 24, 48] as const;

function Steps({ clays, studio }: { readonly clays: OpenClays; readonly studio: Studio }) {
  const { from, to } = useSearch({ strict: false });
  const navigate = useNavigate();
  const [steps, setSteps] = useState(5);
  const [parts, setParts] = useState<number>(12);
  const first = useEndRecipe(from, clays, studio);
  const last = useEndRecipe(to, clays, studio);
  const names = [useEnd(from).name, useEnd(to).name] as const;
  const question = useMemo(
    () =>
      first.recipe === undefined || last.recipe === undefined
        ? undefined
        : { from: first.recipe, to: last.recipe, steps, parts },
    [first.recipe, last.recipe, steps, parts],
  );
  const heard = useVerb(clays, studio, 'ladder', question);
  const answer = heard.latest?.answer;
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
        <EndPicker label="From" value={from} onChange={(end) => go({ from: end, to })} />
        <EndPicker label="To" value={to} onChange={(end) => go({ from, to: end })} />
        <Counter label="Steps" value={steps} least={FEWEST} most={MOST} onChange={setSteps} />
        <Counter label="Most pieces in a step" value={parts} choices={PIECES} onChange={setParts} />
      </div>
      {why === undefined ? null : <p className="warning">{why}</p>}
      {heard.fault === undefined || question === undefined ? null : (
        <p className="warning lead">{wordsOf(heard.fault)}</p>
      )}
      {question === undefined ? (
        <p className="lead">
          {from === undefined ? 'Choose the clay or mix to start from.' : 'Choose where to go.'}
        </p>
      ) : answer === undefined ? (
        heard.fault === undefined ? (
          <JobProgress what={heard.latest?.what || 'Choosing steps'} onStop={heard.stop} />
        ) : null
      ) : (
        <Shown clays={clays} studio={studio} answer={answer} names={names} onParts={setParts} />
      )}
    </div>
  );
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

function Counter({
  label,
  value,
  onChange,
  least = 1,
  most = 99,
  choices,
}: {
  readonly label: string;
  readonly value: number;
  readonly onChange: (value: number) => void;
  readonly least?: number;
  readonly most?: number;
  /** Only these values. */
  readonly choices?: readonly number[];
}) {
  const below = choices?.findLast((one) => one < value) ?? (choices ? undefined : value - 1);
  const above = choices?.find((one) => one > value) ?? (choices ? undefined : value + 1);
  const low = choices?.[0] ?? least;
  const high = choices?.at(-1) ?? most;
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a row everywhere
    <div className="field" role="group" aria-label={`${label}: ${value}`}>
      <span className="field-label" aria-hidden="true">
        {label}
      </span>
      <span className="counter">
        <Button
          aria-label={`Fewer: ${label}`}
          isDisabled={value <= low}
          onPress={() => onChange(below ?? low)}
        >
          −
        </Button>
        <b aria-live="polite">{value}</b>
        <Button
          aria-label={`More: ${label}`}
          isDisabled={value >= high}
          onPress={() => onChange(above ?? high)}
        >
          +
        </Button>
      </span>
    </div>
  );
}

/** From this on people see that the steps differ (the limit that `ladder` calls even). */
const EVEN = 1.3;

function Shown({
  clays,
  studio,
  answer,
  names,
  onParts,
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly answer: LadderAnswer;
  readonly names: readonly [string, string];
  readonly onParts: (parts: number) => void;
}) {
  const { steps, unevenness, equalParts, equalShown, evenWith, sheet } = answer;
  const inner = steps.slice(1, -1);
  /** An end is a mix: its clays are named too. */
  const nested = [steps[0], steps.at(-1)].some((step) => (step?.parts.length ?? 0) > 1);
  const ends = [steps[0]?.shown, steps.at(-1)?.shown] as const;
  const groupsOf = ({ pieces }: LadderStep) =>
    pieces.flatMap((parts, i) =>
      parts === 0 ? [] : [{ id: String(i), name: names[i] ?? '', lab: ends[i], parts }],
    );
  const inWords = (step: LadderStep) =>
    recipeInWords(groupsOf(step).map(({ name, parts }) => ({ clay: name, parts })));
  const save = async () => {
    const made = inner.map((step, i) =>
      make('mix', {
        name: `${names[0]} to ${names[1]} ${i + 2}`.slice(0, BOOK_LIMITS.name),
        parts: handOfRecipe(step.parts, studio).map(({ blockId, parts }) => ({
          of: { kind: 'block' as const, id: blockId },
          parts,
        })),
        basis: clays.worker.basis,
        status: 'idea' as const,
        tags: ['steps'],
        predicted: {
          lab: [...step.shown] as [number, number, number],
          plusMinus: Math.min(100, step.plusMinus),
          ...(clays.modelId === undefined ? {} : { clayModelId: clays.modelId }),
        },
      }),
    );
    await changeBook(`Saved ${count(made.length, 'mix', 'mixes')} as steps`, made).catch(
      (fault: unknown) => showNotice({ text: wordsOf(fault) }),
    );
  };
  const grid = { gridTemplateColumns: `repeat(${steps.length}, minmax(0, 1fr))` };
  return (
    <>
      <section className="bench across steps-bench" aria-label="Steps">
        <div className="steps-row">
          <Label head="Even" note="to the eye" />
          <div className="steps-strip touching" style={grid}>
            {steps.map((step, i) => (
              <Tile key={stepKey(step)} lab={step.shown} name={`Step ${i + 1}`} />
            ))}
          </div>
        </div>
        <div className="steps-row">
          <Label head="Pieces" note={`of ${names[0]} and ${names[1]}`} />
          <ol className="steps-pieces" style={grid}>
            {steps.map((step, i) => (
              <li key={stepKey(step)}>
                <span className="pieces" data-size="card">
                  <PieceBar groups={groupsOf(step)} />
                </span>
                <span className="serif steps-count">
                  {i === 0 || i === steps.length - 1
                    ? countInWords(1)
                    : `${step.pieces[0]} + ${step.pieces[1]}`}
                </span>
              </li>
            ))}
          </ol>
        </div>
        <div className="steps-row">
          <Label head="Counted evenly" note="for comparison" />
          <div className="steps-strip touching" data-low style={grid}>
            {equalShown.map((lab, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: places along one strip
              <Tile key={i} lab={lab} name={`Counted evenly, step ${i + 1}`} />
            ))}
          </div>
        </div>
      </section>
      <div className="mend-columns">
        <section className="stack" aria-label="How even">
          <h2>{unevenness <= EVEN ? 'Every step looks equal' : 'The steps are not equal'}</h2>
          <p>
            The largest step is {unevenness.toFixed(1)} times the mean. Counted evenly, it would be{' '}
            {equalParts.toFixed(1)}.
          </p>
          {evenWith === undefined ? null : (
            <div className="actions">
              <Button onPress={() => onParts(evenWith)}>
                Make them equal, with up to {evenWith} pieces
              </Button>
            </div>
          )}
          <div className="actions">
            <Button kind="main" isDisabled={inner.length === 0} onPress={() => void save()}>
              Save {count(inner.length, 'mix', 'mixes')}
            </Button>
            <Button onPress={() => window.print()}>Print the strip</Button>
          </div>
        </section>
        <Part title="To bake">
          <ol className="steps-list">
            {steps.map((step, i) => (
              <li key={stepKey(step)} className="touching">
                <Tile lab={step.shown} name={`Step ${i + 1}`} />
                <span>
                  <b>Step {i + 1}</b>
                  <span>{inWords(step)}</span>
                  {nested ? <span className="small soft">{recipeInWords(step.parts)}</span> : null}
                </span>
              </li>
            ))}
          </ol>
          <p className="small soft">{totalInWords(steps)}</p>
        </Part>
        <Part title="A sheet that fades evenly">
          <p className="small">
            Lay both colours as two wedges beside each other, fold and roll along the sheet. For an
            even look, give {names[1]} these shares from one end to the other:
          </p>
          <ol className="steps-sheet">
            {sheet.map((share, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: places along one sheet
              <li key={i}>
                <span className="steps-bar" style={{ height: `${4 + 44 * share}px` }} />
                <span className="small">{Math.round(100 * share)} %</span>
              </li>
            ))}
          </ol>
        </Part>
      </div>
    </>
  );
}

function Label({ head, note }: { readonly head: string; readonly note: string }) {
  return (
    <div className="layer-name">
      <strong>{head}</strong>
      <span className="small">{note}</span>
    </div>
  );
}

function stepKey({ pieces }: LadderStep): string {
  return pieces.join(':');
}

/** "In all: 21 pieces of Kelp, 17 of Limpet" */
function totalInWords(steps: readonly LadderStep[]): string {
  const sums = new Map<string, number>();
  for (const { parts } of steps) {
    for (const { clay, parts: n } of parts) sums.set(clay, (sums.get(clay) ?? 0) + n);
  }
  const said = [...sums].map(([clay, n]) => `${countInWords(n)} of ${clay}`);
  return `Pieces in all, cut alike: ${said.join(', ')}.`;
}
