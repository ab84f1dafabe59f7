import { Link, useParams } from '@tanstack/react-router';
import { useEffect, useState } from 'react';
import type { RecordOf } from '../../contract/book/record.ts';
import { useMixColour } from '../book/mix-colour.ts';
import { titleOfMix } from '../book/names.ts';
import { useRecord } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Field } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { PieceRow } from '../parts/piece-row.tsx';
import { Tile } from '../parts/tile.tsx';
import { useMixGroups } from './mix-pieces.tsx';

/** For clay hands: one parent at a time, big, the screen kept awake. */
export function Mixing() {
  const { id } = useParams({ strict: false }) as { id: string };
  const { record, isPending } = useRecord(id);
  if (isPending) return <JobProgress what="Looking it up" />;
  if (record?.kind !== 'mix') {
    return (
      <EmptyState title="No such mix" doings={<Link to="/book">To the mix book</Link>}>
        It may lie in the bin, or its address was written down wrongly.
      </EmptyState>
    );
  }
  return <Steps mix={record} />;
}

function Steps({ mix }: { mix: RecordOf<'mix'> }) {
  const groups = useMixGroups(mix);
  const { lab } = useMixColour(mix);
  const [step, setStep] = useState(0);
  const [onePart, setOnePart] = useState('');
  const awake = useAwake();
  const partG = Number(onePart.replace(',', '.'));
  const weighed = mix.body.basis === 'weight' && partG > 0;
  const last = step >= groups.length;
  const group = groups[step];
  return (
    <div className="mixing">
      <header className="doings">
        <h1>
          <Link to="/book/$id" params={{ id: mix.id }}>
            {titleOfMix(mix)}
          </Link>
        </h1>
        <span className="soft small">{awake}</span>
      </header>
      <ol className="mixing-steps">
        {groups.map(({ id, name, parts }, i) => (
          <li key={id} {...(i === step ? { 'aria-current': 'step' as const } : {})}>
            {parts} {name}
          </li>
        ))}
        <li {...(last ? { 'aria-current': 'step' as const } : {})}>knead</li>
      </ol>
      {last ? (
        <section className="bench" aria-live="polite">
          <p className="mixing-name">Knead till no streak is left</p>
          <div className="one-colour">
            <Tile lab={lab} name="As it should look once baked" />
          </div>
          <p className="lead">
            Press a tile from it and stamp {mix.body.code ?? 'its code'} in before baking. Raw and
            hot clay deceive the eye: compare when it has cooled.
          </p>
          <p>
            The maker's label says how hot and how long; an adult runs the oven, and the room is
            aired. If it smokes: oven off, door shut, windows open, everybody out.
          </p>
        </section>
      ) : group === undefined ? null : (
        <section className="bench" aria-live="polite">
          <p>
            <span className="mixing-count">
              {weighed ? `${(group.parts * partG).toFixed(1)} g` : Number(group.parts.toFixed(2))}
            </span>{' '}
            <span className="mixing-name">
              {weighed ? 'of' : group.parts === 1 ? 'piece of' : 'pieces of'} {group.name}
            </span>
          </p>
          <PieceRow size="large" groups={[{ ...group, name: '' }]} />
        </section>
      )}
      <div className="mixing-foot">
        <Button isDisabled={step === 0} onPress={() => setStep(step - 1)}>
          Back
        </Button>
        {last ? (
          <Link className="button" data-kind="main" to="/book/$id" params={{ id: mix.id }}>
            Done
          </Link>
        ) : (
          <Button kind="main" onPress={() => setStep(step + 1)}>
            Laid down, next
          </Button>
        )}
      </div>
      {mix.body.basis === 'weight' ? (
        <div className="form">
          <Field
            label="Grams in one part"
            value={onePart}
            onChange={setOnePart}
            inputMode="decimal"
            help="Given this, every step says grams."
          />
        </div>
      ) : (
        <p className="soft">
          Pieces of one size: one cutter and one thickness of sheet for all of them.
        </p>
      )}
    </div>
  );
}

/** Keeps the screen on while this is shown, where the browser lets it; says which. */
function useAwake(): string {
  const [says, setSays] = useState('');
  useEffect(() => {
    if (!('wakeLock' in navigator)) {
      setSays(
        isSecureContext
          ? 'This browser lets the screen go dark; touch it now and then.'
          : 'Over plain http the screen cannot be kept awake; touch it now and then.',
      );
      return;
    }
    let lock: WakeLockSentinel | undefined;
    let left = false;
    const take = async () => {
      try {
        lock = await navigator.wakeLock.request('screen');
        if (left) await lock.release();
        else setSays('The screen stays awake.');
      } catch {
        setSays('The screen may go dark; touch it now and then.');
      }
    };
    const again = () => {
      if (document.visibilityState === 'visible') void take();
    };
    void take();
    document.addEventListener('visibilitychange', again);
    return () => {
      left = true;
      document.removeEventListener('visibilitychange', again);
      void lock?.release();
    };
  }, []);
  return says;
}
