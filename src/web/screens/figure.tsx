import '../look/lump.css';
import './figure/figure.css';
import { Link, useParams } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { questionOfFigure } from '../../domain/figure-question.ts';
import { plainMoney } from '../../domain/money.ts';
import type { FigurePlan } from '../../domain/records/figure-plan.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import type { FigureAnswer } from '../../verbs/figure.ts';
import { paintInWords } from '../../verbs/figure-in-words.ts';
import { wordsOf } from '../book/change.ts';
import type { OpenClays } from '../book/clays.ts';
import { useRecord } from '../book/queries.ts';
import { massInWords, useUnits } from '../book/units.ts';
import { useVerb } from '../book/use-verb.ts';
import type { Studio } from '../find/studio.ts';
import { StudioGate } from '../find/studio-gate.tsx';
import { Button } from '../parts/button.tsx';
import { Counter } from '../parts/counter.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { BatchRows } from './figure/batch-rows.tsx';
import { BlocksUsed } from './figure/blocks-used.tsx';
import { EditPlan } from './figure/edit-plan.tsx';
import { EditShape } from './figure/edit-shape.tsx';
import { MadeBatches } from './figure/made-batches.tsx';
import { ShapeList } from './figure/shape-list.tsx';
import { type FigureMixes, useFigureMixes } from './figure/use-figure-mixes.ts';
import { moneyInWords } from './stock/money.ts';

const NO_PLAN: FigurePlan = { shapes: [] };

/** How much of each colour does this figure need? */
export function Figure() {
  const { id } = useParams({ strict: false }) as { id: string };
  const { record, isPending } = useRecord(id);
  if (isPending) return <JobProgress what="Loading" />;
  if (record?.kind !== 'figure') {
    return (
      <EmptyState
        whole
        title="No such figure"
        actions={
          <Link to="/stock" search={{ view: 'figures' }}>
            Figures
          </Link>
        }
      >
        It may have been deleted, or the address is wrong.
      </EmptyState>
    );
  }
  return (
    <StudioGate>
      {(clays, studio) => <FigureOf figure={record} clays={clays} studio={studio} />}
    </StudioGate>
  );
}

interface Opened {
  readonly figure: RecordOf<'figure'>;
  readonly clays: OpenClays;
  readonly studio: Studio;
}

function FigureOf({ figure, clays, studio }: Opened) {
  const { plan = NO_PLAN } = figure.body;
  const mixes = useFigureMixes(figure, studio);
  if (mixes === undefined) return <JobProgress what="Loading the mixes" />;
  return <Planned figure={figure} clays={clays} studio={studio} plan={plan} mixes={mixes} />;
}

function Planned({
  figure,
  clays,
  studio,
  plan,
  mixes,
}: Opened & { readonly plan: FigurePlan; readonly mixes: FigureMixes }) {
  const [copies, setCopies] = useState(plan.copies ?? 1);
  const [editing, setEditing] = useState<number | 'new' | 'plan' | undefined>();
  const question = useMemo(() => {
    const own = questionOfFigure(figure.body, mixes);
    return own.shapes.length === 0 ? undefined : { ...own, copies, stock: [...mixes.stock] };
  }, [figure.body, copies, mixes]);
  const heard = useVerb(clays, studio, 'figure', question);
  const answer = question === undefined ? undefined : heard.latest?.answer;
  const close = () => setEditing(undefined);
  return (
    <div className="screen figure-plan" data-old={heard.old}>
      <header className="head-line">
        <h1>{figure.body.name}</h1>
        <div className="actions">
          <Counter label="Figures" value={copies} onChange={setCopies} most={10_000} />
          <Button onPress={() => setEditing('plan')}>Edit the plan</Button>
          <Button isDisabled={answer === undefined} onPress={() => window.print()}>
            Print
          </Button>
        </div>
      </header>
      <ShapeList plan={plan} mixes={mixes} answer={answer} onEdit={setEditing} />
      {heard.fault === undefined ? null : <p className="warning lead">{wordsOf(heard.fault)}</p>}
      {question !== undefined && heard.fault === undefined && answer === undefined ? (
        <JobProgress what="Planning the figure" />
      ) : null}
      {answer === undefined ? null : (
        <>
          <BatchRows answer={answer} figure={figure} mixes={mixes} studio={studio} />
          <BlocksUsed answer={answer} />
          <MadeBatches figure={figure} mixes={mixes} />
          <Notes answer={answer} />
        </>
      )}
      {editing === 'plan' ? <EditPlan figure={figure} plan={plan} onClose={close} /> : null}
      {editing === 'new' || typeof editing === 'number' ? (
        <EditShape
          figure={figure}
          plan={plan}
          at={editing === 'new' ? undefined : editing}
          nameOf={mixes.nameOf}
          onClose={close}
        />
      ) : null}
    </div>
  );
}

function Notes({ answer }: { readonly answer: FigureAnswer }) {
  const { notes, leftOut, shapes, copies, cost } = answer;
  const units = useUnits();
  const { currency } = cost;
  const terms = {
    copies,
    hourlyMinor: cost.hourlyMinor,
    money: (minor: number) =>
      currency === undefined
        ? plainMoney({ minor })
        : moneyInWords({ minor: Math.round(minor), currency }),
  };
  const painted = shapes.flatMap(({ name, paint }) =>
    paint === undefined ? [] : [{ name, paint }],
  );
  return (
    <section className="figure-notes" aria-label="Notes">
      {leftOut.map(({ shape, sentence }) => (
        <p key={shape} className="warning">
          {shape}: {sentence}
        </p>
      ))}
      {painted.map(({ name, paint }) => (
        <p key={name}>
          {name}: {paintInWords(paint, terms).join(' ')}
        </p>
      ))}
      {notes.map((note) => (
        <p key={note}>{note}</p>
      ))}
      <p className="small">
        Shapes weigh{' '}
        {massInWords(copies * shapes.reduce((sum, { grams }) => sum + grams, 0), units)} with what
        is lost in the work.
      </p>
    </section>
  );
}
