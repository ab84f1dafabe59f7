import '../look/strength.css';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { specimenInWords } from '../../core/strength/specimen.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { useAll } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { Cautions } from '../parts/cautions.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Pick } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { BendGrid } from './strength/bend-grid.tsx';
import { CutList } from './strength/cut-list.tsx';
import { PlanSet } from './strength/plan-set.tsx';
import { WillItHold } from './strength/will-it-hold.tsx';

type BendTest = RecordOf<'bend-test'>;

/** Which blends hold? Bend tests of two lines, and what they say of a part. */
export function BendTests() {
  const lines = useAll('line');
  const tests = useAll('bend-test');
  const [shown, setShown] = useState<string | undefined>();
  const [planning, setPlanning] = useState(false);
  if (lines.isPending || tests.isPending) return <JobProgress what="Loading bend tests" />;
  if (lines.records.length < 2) {
    return (
      <EmptyState
        whole
        title="Bend tests need two lines"
        actions={
          <Link className="button" data-kind="main" to="/stock">
            Go to Stock
          </Link>
        }
      >
        Bend tests show how much of a strong line a blend needs. Add blocks of two lines first.
      </EmptyState>
    );
  }
  const sets = new Map<string, BendTest[]>();
  for (const test of tests.records) {
    const name = test.body.set ?? 'Single tests';
    sets.set(name, [...(sets.get(name) ?? []), test]);
  }
  const names = [...sets.keys()];
  const name = shown !== undefined && sets.has(shown) ? shown : names.at(-1);
  const set = name === undefined ? undefined : sets.get(name);
  const [first, ...more] = set ?? [];
  const body = first?.body;
  const lineName = (id: string | undefined) => lines.byId.get(id ?? '')?.body.name;
  const strong = lineName(body?.strongLineId);
  const other = lineName(body?.otherLineId);
  return (
    <div className="screen bend">
      <header className="head-line">
        <h1>Bend tests</h1>
        {body === undefined ? null : (
          <p className="soft">
            {[strong, other].filter(Boolean).join(' in ')}, {specimenInWords(body.specimen)},{' '}
            {body.action}
          </p>
        )}
        <div className="actions">
          <Button
            {...(set === undefined ? { kind: 'main' } : {})}
            onPress={() => setPlanning(true)}
          >
            Plan bend tests
          </Button>
        </div>
      </header>
      {names.length < 2 || name === undefined ? null : (
        <Pick
          label="Set"
          value={name}
          onChange={setShown}
          options={names.map((one) => [one, one] as const)}
        />
      )}
      {set === undefined ? (
        <p className="lead">
          Bake strips of two lines mixed, bend them, and press how each came out.
        </p>
      ) : (
        <>
          <BendGrid tests={set} strong={strong ?? ''} />
          {first === undefined ? null : (
            <CutList tests={[first, ...more]} strong={strong ?? ''} other={other ?? ''} />
          )}
        </>
      )}
      <WillItHold tests={tests.records} lines={lines.byId} strong={strong} other={other} />
      <Cautions topic="strength" />
      {planning ? (
        <PlanSet lines={lines.records} onDone={setShown} onClose={() => setPlanning(false)} />
      ) : null}
    </div>
  );
}
