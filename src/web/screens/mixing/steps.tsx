import { type ReactNode, useEffect, useState } from 'react';
import { cautionsFor } from '../../../domain/cautions.ts';
import type { MixParts } from '../../../domain/mix-graph-of-book.ts';
import { percentInWords, powdersNotPredicted } from '../../../domain/powders-in-words.ts';
import { Button } from '../../parts/button.tsx';
import { Field } from '../../parts/field.tsx';
import { PieceBar } from '../../parts/piece-bar.tsx';
import { countInWords } from '../../parts/piece-group.ts';
import { type Layer, Stack } from '../../parts/stack.tsx';
import { BakeNotes, HandlingNotes } from '../mix/bake-notes.tsx';
import { powderGrams } from '../mix/powder-grams.ts';
import { useMixGroups, usePowders } from '../mix-pieces.tsx';
import { CutterLine } from './cutter-line.tsx';
import { LumpSoFar } from './lump-so-far.tsx';
import '../../look/mixing.css';

/** The steps after all pieces are cut. */
const AFTER = ['knead', 'rest', 'bake', 'compare'] as const;

/** For hands full of clay: one step at a time, in large type, with the screen kept on. */
export function MixingSteps({
  id,
  title,
  name,
  mix,
  layers,
  cameOut,
  end,
}: {
  /** Of a saved mix. */
  readonly id?: string;
  /** Leads back. */
  readonly title: ReactNode;
  readonly name: string;
  readonly mix: MixParts & { readonly code?: string; readonly note?: string };
  /** Wanted and predicted. */
  readonly layers: readonly Layer[];
  /** The ways on from a mix that is baked. */
  readonly cameOut: ReactNode;
  /** What is pressed after the last step. */
  readonly end: ReactNode;
}) {
  const groups = useMixGroups({ body: mix });
  const powders = usePowders(mix);
  const [step, setStep] = useState(0);
  const [onePart, setOnePart] = useState('');
  const [clay, setClay] = useState('');
  const awake = useAwake();
  const partG = gramsFrom(onePart);
  const weighed = mix.basis === 'weight' && partG > 0;
  const group = groups[step];
  const powder = powders[step - groups.length];
  const before = groups.length + powders.length;
  const steps = before + AFTER.length;
  const after = AFTER[step - before];
  const total = groups.reduce((sum, { parts }) => sum + parts, 0);
  const clayG = weighed ? partG * total : gramsFrom(clay);
  const kneaded = [...(id === undefined ? [] : [{ id, name }]), ...groups];
  return (
    <div className="mixing">
      <header>
        <h1>{title}</h1>
        <span className="soft small">
          {countInWords(total)} {total === 1 ? 'part' : 'parts'}. {awake}
        </span>
      </header>
      <section className="mixing-now" aria-live="polite">
        <p className="mixing-step">
          {step + 1} of {steps}
        </p>
        {after === 'knead' ? (
          <>
            <p className="mixing-name">Knead until no streaks are left</p>
            <p className="lead">
              Raw or hot clay looks different. Compare when it is baked and cool.
            </p>
            <HandlingNotes of={kneaded} />
          </>
        ) : after === 'rest' ? (
          <>
            <p className="mixing-name">Let it rest, then condition it again</p>
            <p className="lead">
              Kneading warms and softens clay. Wrap the mix and let it cool on the table. Then roll
              and fold it until it is even and has no air bubbles, before you cut or press a tile.
            </p>
            <HandlingNotes of={kneaded} />
          </>
        ) : after === 'bake' ? (
          <>
            <p className="mixing-name">
              Press a tile, stamp {mix.code ?? 'its code'} into it, bake it
            </p>
            <BakeNotes mix={mix} />
            {mix.note === undefined ? null : <p>Your note: {mix.note}</p>}
          </>
        ) : after === 'compare' ? (
          <>
            <p className="mixing-name">How did it come out?</p>
            <p className="lead">Hold the lump or a baked chip to the original, in daylight.</p>
            {cameOut}
          </>
        ) : powder !== undefined ? (
          <>
            <p className="mixing-name">
              Work in {percentInWords(powder.share)} {powder.name}
              {clayG > 0 ? `, ${gramsInWords(powderGrams(clayG, powders, powder.share))}` : ''}
            </p>
            <p className="lead">
              By weight, of the clay and its powders together. {powdersNotPredicted([powder.name])}
            </p>
            <p className="soft">{cautionsFor('powder')[0].text}</p>
          </>
        ) : group === undefined ? null : (
          <>
            <p>
              <span className="mixing-count">
                {weighed ? `${(group.parts * partG).toFixed(1)} g` : countInWords(group.parts)}
              </span>{' '}
              <span className="mixing-name">
                {weighed ? 'of' : group.parts === 1 ? 'piece of' : 'pieces of'} {group.name}
              </span>
            </p>
            <div className="bench across mixing-pieces pieces">
              <PieceBar groups={[group]} />
              {mix.basis === 'weight' ? null : <CutterLine pieces={total} />}
            </div>
          </>
        )}
      </section>
      {after === 'compare' ? null : <LumpSoFar groups={groups} step={step} />}
      {layers.length === 0 || after === 'compare' ? null : (
        <div className="bench across mixing-colours">
          <Stack layers={layers} />
        </div>
      )}
      {after !== undefined ? null : powder !== undefined && mix.basis === 'volume' ? (
        <div className="form">
          <Field
            label="Grams of clay in all"
            value={clay}
            onChange={setClay}
            inputMode="decimal"
            help="Weigh the pieces together, and this step says how many grams of powder."
          />
        </div>
      ) : mix.basis === 'weight' ? (
        <div className="form">
          <Field
            label="Grams in one part"
            value={onePart}
            onChange={setOnePart}
            inputMode="decimal"
            help="Each step then shows grams."
          />
        </div>
      ) : null}
      <div className="mixing-foot">
        <Button isDisabled={step === 0} onPress={() => setStep(step - 1)}>
          Back
        </Button>
        {step >= steps - 1 ? (
          end
        ) : (
          <Button kind="main" onPress={() => setStep(step + 1)}>
            Next
          </Button>
        )}
      </div>
    </div>
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
