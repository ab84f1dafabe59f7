import '../look/strength.css';
import { Link } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { AIRS, type Air, STANDS_ON, type StandsOn } from '../../core/oven/clay-heat.ts';
import { LABEL_FIRST } from '../../domain/cautions.ts';
import { packetHeatOf, runOfOven } from '../../verbs/packet-heat.ts';
import { useAll } from '../book/queries.ts';
import { tempInWords, useUnits } from '../book/units.ts';
import { Cautions } from '../parts/cautions.tsx';
import { Choice } from '../parts/choice.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Field, Part } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Tick } from '../parts/tick.tsx';
import { OvenChecks } from './strength/oven-checks.tsx';
import { useStrength } from './strength/use-strength.ts';

const ON_WORDS: Readonly<Record<StandsOn, string>> = {
  free: 'Air all round',
  paper: 'Paper',
  tile: 'Ceramic tile',
  foam: 'Foam',
};

/** How hot, and how long? A bake of one or more lines. */
export function BakePlanScreen() {
  const lines = useAll('line');
  const checks = useAll('oven-check');
  const units = useUnits();
  const [chosen, setChosen] = useState<readonly string[]>([]);
  const [thickest, setThickest] = useState('8');
  const [on, setOn] = useState<StandsOn>('tile');
  const [air, setAir] = useState<Air>('still');
  const subject = useMemo(
    () => ({
      lines: lines.records.map(({ body }) => packetHeatOf(body)),
      ovens: checks.records.map(({ body }) => runOfOven(body)),
    }),
    [lines.records, checks.records],
  );
  const names = lines.records.flatMap(({ id, body }) => (chosen.includes(id) ? [body.name] : []));
  const size = Number(thickest.trim().replace(',', '.'));
  const ask =
    names.length === 0 || thickest.trim() === ''
      ? undefined
      : ({ verb: 'bake', subject, question: { lines: names, thickest: size, on, air } } as const);
  const { answer, fault } = useStrength(ask);
  if (lines.isPending || checks.isPending) return <JobProgress what="Loading lines" />;
  if (lines.records.length === 0) {
    return (
      <EmptyState
        whole
        title="No lines yet"
        actions={
          <Link className="button" data-kind="main" to="/stock">
            Go to Stock
          </Link>
        }
      >
        A plan comes from what your packets say. Add your blocks first.
      </EmptyState>
    );
  }
  const [heat, ...others] = (answer?.sentences ?? []).filter((one) => one !== LABEL_FIRST);
  const wrong = Number.isFinite(size) && size > 0 ? fault : 'Type the thickness in mm.';
  return (
    <div className="screen bake">
      <header className="head-line">
        <h1>How hot, and how long?</h1>
      </header>
      <Part title="The bake">
        <fieldset className="bake-lines-ask">
          <legend>Lines in the figure</legend>
          {lines.records.map(({ id, body }) => (
            <Tick
              key={id}
              isSelected={chosen.includes(id)}
              onChange={(isOn) =>
                setChosen(isOn ? [...chosen, id] : chosen.filter((one) => one !== id))
              }
            >
              {body.name}
            </Tick>
          ))}
        </fieldset>
        <div className="hold-ask">
          <Field
            label="Thickest part, mm"
            value={thickest}
            onChange={setThickest}
            inputMode="decimal"
          />
          <Choice
            isLabelled
            label="What the figure stands on"
            value={on}
            onChange={setOn}
            options={STANDS_ON.map((one) => [one, ON_WORDS[one]] as const)}
          />
          <Choice
            isLabelled
            label="Air of the oven"
            value={air}
            onChange={setAir}
            options={AIRS.map((one) => [one, one === 'fan' ? 'Fan' : 'No fan'] as const)}
          />
        </div>
      </Part>
      {ask === undefined ? (
        <p className="lead">Choose the lines in the figure.</p>
      ) : wrong !== undefined ? (
        <p className="warning">{wrong}</p>
      ) : answer === undefined ? null : (
        <section className="hold-answer" aria-label="Plan" aria-live="polite">
          {answer.meanC === undefined ? null : (
            <p className="bake-big serif">
              {tempInWords(answer.meanC, units)} at the clay, {answer.stages[0]?.minutes.high} min
            </p>
          )}
          <p className={answer.kind === 'plan' ? 'lead' : 'warning lead'}>{heat}</p>
          {others.map((sentence) => (
            <p key={sentence}>{sentence}</p>
          ))}
        </section>
      )}
      <Cautions topic="heat" />
      <OvenChecks checks={checks.records} units={units} />
    </div>
  );
}
