import '../find/find.css';
import { useNavigate, useSearch } from '@tanstack/react-router';
import { memo, useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { RecordOf } from '../../domain/records/record.ts';
import type { Lab } from '../../core/colour/triples.ts';
import type { Recipe } from '../../core/notation/notation.ts';
import { AimPicker } from '../aims/aim-picker.tsx';
import type { OpenClays } from '../book/clays.ts';
import { useKeptHere } from '../book/local-storage-state.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from '../parts/button.tsx';
import { ClaysGate } from '../parts/clays-gate.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { askOf } from '../find/question-from-request.ts';
import { ClayColours } from '../find/clay-colours.ts';
import { FoundRecipes } from '../find/found-recipes.tsx';
import { HandBench } from '../find/hand-bench.tsx';
import { NearestSoFar } from '../find/closest-so-far.tsx';
import { NextInPalette } from '../find/palette-aims.tsx';
import { RulesSheet } from '../find/rules-dialog.tsx';
import { type Studio, useStudio } from '../find/studio.ts';
import { type Hand, useHand } from '../find/use-hand.ts';
import { useSeek } from '../find/use-find.ts';
import { useSteady } from '../find/use-stable-order.ts';
import { FIRST_WANTED, isWanted, type Wanted, type WantedAim, withChange } from '../find/find-request.ts';
import { wantedInWords } from '../find/find-request-in-words.ts';
import type { Foretold } from '../workers/messages.ts';
import { KeepMix } from './save-mix.tsx';

/** Which whole parts of what I own give this colour? */
export function Seek() {
  return <ClaysGate>{(clays) => <SeekWith clays={clays} />}</ClaysGate>;
}

function SeekWith({ clays }: { clays: OpenClays }) {
  const studio = useStudio(clays);
  // Names and lines belong to the question; asked without them it would have to be asked twice.
  if (studio.isPending) return <JobProgress what="Opening your clays" />;
  return <SeekIn clays={clays} studio={studio} />;
}

const NO_HAND: Hand = [];
const Aims = memo(AimPicker);

function SeekIn({ clays, studio }: { clays: OpenClays; studio: Studio }) {
  const [wanted, setWanted] = useKeptHere<Wanted>('seek', FIRST_WANTED, isWanted);
  useAimOfAddress(wanted, setWanted);
  const here = useHand();
  const { lay, letGo } = here;
  const [rulesOpen, setRulesOpen] = useState(false);
  const [keeping, setKeeping] = useState<
    { readonly hand: Hand; readonly foretold: Foretold } | undefined
  >();
  const [keepOpen, setKeepOpen] = useState(false);
  const onKeep = useCallback((mix: { readonly hand: Hand; readonly foretold: Foretold }) => {
    setKeeping(mix);
    setKeepOpen(true);
  }, []);
  const navigate = useNavigate();
  const ask = useMemo(() => askOf(wanted, studio), [wanted, studio]);
  const seeking = useSeek(clays, ask);
  const { aim, batchG } = wanted;
  const words = useMemo(() => wantedInWords(wanted, studio), [wanted, studio]);

  const handOf = useCallback(
    (recipe: Recipe): Hand =>
      recipe.flatMap(({ parent, parts }) => {
        const clay = studio.byName.get(parent);
        return clay === undefined ? [] : [{ blockId: clay.blockId, parts }];
      }),
    [studio],
  );
  const best = seeking.finding?.sought.recipes[0];
  const found = useMemo(() => (best === undefined ? NO_HAND : handOf(best.parts)), [best, handOf]);
  const question = useMemo(() => JSON.stringify(ask ?? null), [ask]);
  const nearest = useSteady(found, question, sameHand);

  const onChange = useCallback(
    (next: Wanted) => {
      setWanted(next);
      letGo();
    },
    [setWanted, letGo],
  );
  const onAim = useCallback(
    (next: WantedAim) => onChange(withChange(wanted, { aim: next })),
    [wanted, onChange],
  );
  const onBatch = useCallback(
    (next: number | undefined) => {
      const none = next === undefined ? { withinStock: undefined } : {};
      setWanted(withChange(wanted, { batchG: next, ...none }));
    },
    [wanted, setWanted],
  );
  const onLook = useCallback(
    (recipe: Recipe) => {
      lay(handOf(recipe));
      showBench();
    },
    [lay, handOf],
  );
  const openRules = useCallback(() => setRulesOpen(true), []);
  const closeRules = useCallback(() => setRulesOpen(false), []);
  const labOfBlock = useCallback((id: string) => clays.byBlock.get(id)?.lab, [clays]);
  const labOf = useCallback(
    (name: string) => labOfBlock(studio.byName.get(name)?.blockId ?? ''),
    [labOfBlock, studio],
  );

  return (
    <div className="screen">
      <header>
        <h1>Seek</h1>
        <p className="soft">
          {clays.rough
            ? 'Nothing is learnt yet, so every recipe here is rough: good to start a first ball from. Baked tiles make it surer.'
            : 'Choose a colour; recipes of whole parts of what you own arrive, the nearest first.'}
        </p>
      </header>
      <div className="beside seeking">
        <div className="stack seeking-aim">
          <h2>The aim</h2>
          <Aims aim={aim} onAim={onAim} />
          {aim === undefined || best === undefined ? null : (
            <NearestSoFar aim={aim.lab} best={best} onShow={showBench} />
          )}
        </div>
        <section className="stack tight seeking-rules" aria-label="The rules">
          <p>{words}</p>
          <div className="doings">
            <Button onPress={openRules}>Change the rules</Button>
          </div>
        </section>
        <div className="stack seeking-bench">
          <HandBench
            clays={clays}
            studio={studio}
            aim={aim}
            here={here}
            nearest={nearest}
            batchG={batchG}
            onBatch={onBatch}
            onKeep={onKeep}
          >
            {aim?.palette === undefined ? null : <NextInPalette aim={aim} onChoose={onAim} />}
          </HandBench>
          {aim === undefined ? null : (
            <FoundRecipes
              seeking={seeking}
              aim={aim.lab}
              wanted={wanted}
              studio={studio}
              rough={clays.rough}
              labOf={labOf}
              onLook={onLook}
              onChange={onChange}
              onRules={openRules}
            />
          )}
        </div>
      </div>
      <ClayColours value={labOfBlock}>
        <RulesSheet
          isOpen={rulesOpen}
          onClose={closeRules}
          wanted={wanted}
          studio={studio}
          onChange={onChange}
          no={seeking.fault?.message}
        />
      </ClayColours>
      {keeping === undefined ? null : (
        <KeepMix
          isOpen={keepOpen}
          onClose={() => setKeepOpen(false)}
          onKept={(mix: RecordOf<'mix'>) => {
            setKeepOpen(false);
            void navigate({ to: '/book/$id', params: { id: mix.id } });
          }}
          suggestedName={spokenColour(keeping.foretold.lab)}
          body={{
            parts: keeping.hand.map(({ blockId, parts }) => ({
              of: { kind: 'block', id: blockId },
              parts,
            })),
            basis: clays.desk.basis,
            status: 'trial',
            foretold: {
              lab: keeping.foretold.lab as [number, number, number],
              plusMinus: Math.min(100, keeping.foretold.plusMinus),
              ...(clays.modelId === undefined ? {} : { clayModelId: clays.modelId }),
            },
          }}
        />
      )}
    </div>
  );
}

/** Aim and mix come into sight; the column they stand in is longer than any screen. */
function showBench(): void {
  document.querySelector('.seeking-bench > .bench')?.scrollIntoView({ block: 'start' });
}

function sameHand(one: Hand, other: Hand): boolean {
  return (
    one.length === other.length &&
    one.every(({ blockId, parts }, i) => blockId === other[i].blockId && parts === other[i].parts)
  );
}

/** An aim handed over by another screen stands in the address. */
function useAimOfAddress(wanted: Wanted, setWanted: (next: Wanted) => void): void {
  const { aim, called } = useSearch({ strict: false }) as { aim?: string; called?: string };
  const taken = useRef<string | undefined>(undefined);
  useEffect(() => {
    if (aim === undefined || taken.current === aim) return;
    taken.current = aim;
    const lab = aim.split('_').map(Number);
    if (lab.length !== 3 || !lab.every(Number.isFinite)) return;
    const words = called ?? spokenColour(lab as unknown as Lab);
    setWanted(withChange(wanted, { aim: { lab: lab as unknown as Lab, words } }));
  }, [aim, called, wanted, setWanted]);
}
