import { Link, useParams } from '@tanstack/react-router';
import { useEffect, useState } from 'react';
import { USUAL_DENSITY } from '../../core/mixes/mix-graph.ts';
import { percentInWords, powdersNotPredicted } from '../../domain/powders.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { useMixColour } from '../book/mix-colour.ts';
import { titleOfMix } from '../book/names.ts';
import { useAll, useRecord } from '../book/queries.ts';
import { massInWords, useUnits } from '../book/units.ts';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Field } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { PieceBar } from '../parts/piece-bar.tsx';
import { Tile } from '../parts/tile.tsx';
import { BakeNotes, HandlingNotes } from './mix/bake-notes.tsx';
import { powderGrams } from './mix/powder-grams.ts';
import { useMixGroups, usePowders } from './mix-pieces.tsx';
import { gramsOfPiece } from './stock/count-form.tsx';
import '../look/mixing.css';

/** For hands full of clay: one step at a time, in large type, with the screen kept on. */
export function Mixing() {
  const { id } = useParams({ strict: false }) as { id: string };
  const { record, isPending } = useRecord(id);
  if (isPending) return <JobProgress what="Loading" />;
  if (record?.kind !== 'mix') {
    return (
      <EmptyState whole title="No such mix" actions={<Link to="/book">Go to the mix book</Link>}>
        It may have been deleted, or the address is wrong.
      </EmptyState>
    );
  }
  return <Steps mix={record} />;
}

/** The steps after all pieces are cut. */
const AFTER = ['knead', 'rest', 'bake'] as const;

function Steps({ mix }: { mix: RecordOf<'mix'> }) {
  const groups = useMixGroups(mix);
  const powders = usePowders(mix.body);
  const { lab, from } = useMixColour(mix.id);
  const [step, setStep] = useState(0);
  const [onePart, setOnePart] = useState('');
  const [clay, setClay] = useState('');
  const awake = useAwake();
  const partG = gramsFrom(onePart);
  const weighed = mix.body.basis === 'weight' && partG > 0;
  const group = groups[step];
  const powder = powders[step - groups.length];
  const before = groups.length + powders.length;
  const after = AFTER[step - before];
  const last = step >= before + AFTER.length - 1;
  const clayG = weighed
    ? partG * groups.reduce((sum, { parts }) => sum + parts, 0)
    : gramsFrom(clay);
  const kneaded = [{ id: mix.id, name: titleOfMix(mix) }, ...groups];
  return (
    <div className="mixing">
      <header className="actions">
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
            {Number(parts.toFixed(2))} {name}
          </li>
        ))}
        {powders.map(({ id, name, share }, i) => (
          <li key={id} {...(groups.length + i === step ? { 'aria-current': 'step' as const } : {})}>
            {percentInWords(share)} {name}
          </li>
        ))}
        {AFTER.map((word) => (
          <li key={word} {...(word === after ? { 'aria-current': 'step' as const } : {})}>
            {word}
          </li>
        ))}
      </ol>
      {after === 'knead' ? (
        <section className="bench" aria-live="polite">
          <p className="mixing-name">Knead until no streaks are left</p>
          <div className="one-colour">
            <Tile lab={lab} coming={from === 'coming'} name="Colour when baked" />
          </div>
          <p className="lead">
            Raw or hot clay looks different. Compare when it is baked and cool.
          </p>
          <HandlingNotes of={kneaded} />
        </section>
      ) : after === 'rest' ? (
        <section className="bench" aria-live="polite">
          <p className="mixing-name">Let it rest, then condition it again</p>
          <p className="lead">
            Kneading warms and softens clay. Wrap the mix and let it cool on the table. Then roll
            and fold it until it is even and has no air bubbles, before you cut or press a tile.
          </p>
          <HandlingNotes of={kneaded} />
        </section>
      ) : after === 'bake' ? (
        <section className="bench" aria-live="polite">
          <p className="mixing-name">
            Press a tile, stamp {mix.body.code ?? 'its code'} into it, bake it
          </p>
          <BakeNotes mix={mix} />
          {mix.body.note === undefined ? null : <p>Your note: {mix.body.note}</p>}
        </section>
      ) : powder !== undefined ? (
        <section className="bench" aria-live="polite">
          <p className="mixing-name">
            Work in {percentInWords(powder.share)} {powder.name}
            {clayG > 0 ? `, ${gramsInWords(powderGrams(clayG, powders, powder.share))}` : ''}
          </p>
          <p className="lead">
            By weight, of the clay and its powders together. {powdersNotPredicted([powder.name])}
          </p>
          <p className="soft">
            Keep fine powder out of the air and off food: work it in slowly, and wear a dust mask if
            it flies. Its label decides.
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
          <PieceBar groups={[group]} />
        </section>
      )}
      <div className="mixing-foot">
        <Button isDisabled={step === 0} onPress={() => setStep(step - 1)}>
          Back
        </Button>
        {last ? (
          <Link className="button" data-kind="main" to="/book/$id" params={{ id: mix.id }}>
            Back to the mix
          </Link>
        ) : (
          <Button kind="main" onPress={() => setStep(step + 1)}>
            Next
          </Button>
        )}
      </div>
      {after !== undefined ? null : powder !== undefined && mix.body.basis === 'volume' ? (
        <div className="form">
          <Field
            label="Grams of clay in all"
            value={clay}
            onChange={setClay}
            inputMode="decimal"
            help="Weigh the pieces together, and this step says how many grams of powder."
          />
        </div>
      ) : mix.body.basis === 'weight' ? (
        <div className="form">
          <Field
            label="Grams in one part"
            value={onePart}
            onChange={setOnePart}
            inputMode="decimal"
            help="Each step then shows grams."
          />
        </div>
      ) : (
        <CutterLine pieces={groups.reduce((sum, { parts }) => sum + parts, 0)} />
      )}
    </div>
  );
}

/** How the pieces are cut, and what all of them weigh with each of the user's cutters. */
function CutterLine({ pieces }: { readonly pieces: number }) {
  const units = useUnits();
  const cutters = useAll('settings').records[0]?.body.cutters ?? [];
  const each = cutters.map(({ name, volumeMm3 }) => {
    const grams = pieces * gramsOfPiece(volumeMm3, USUAL_DENSITY.value);
    return `${name} about ${massInWords(grams, units)}`;
  });
  return (
    <p className="soft">
      Cut all pieces with one cutter, from clay rolled to one thickness.
      {each.length === 0 ? '' : ` In all: ${each.join(', ')}.`}
    </p>
  );
}

/** Grams as typed; a number that cannot be read is none. */
function gramsFrom(typed: string): number {
  const grams = Number(typed.replace(',', '.'));
  return Number.isFinite(grams) ? grams : 0;
}

function gramsInWords(grams: number): string {
  return `${Number(grams.toPrecision(2))} g`;
}

/** Keeps the screen on where the browser allows it, and says whether it does. */
function useAwake(): string {
  const [says, setSays] = useState('');
  useEffect(() => {
    if (!('wakeLock' in navigator)) {
      setSays(
        isSecureContext
          ? 'The screen may turn off. Tap it now and then.'
          : 'Over plain http the screen may turn off. Tap it now and then.',
      );
      return;
    }
    let lock: WakeLockSentinel | undefined;
    let left = false;
    const take = async () => {
      try {
        lock = await navigator.wakeLock.request('screen');
        if (left) await lock.release();
        else setSays('The screen stays on.');
      } catch {
        setSays('The screen may turn off. Tap it now and then.');
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
