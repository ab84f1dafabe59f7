import '../find/find.css';
import { useNavigate, useSearch } from '@tanstack/react-router';
import { memo, useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import type { Recipe } from '../../core/notation/notation.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { AimPicker } from '../aims/aim-picker.tsx';
import type { OpenClays } from '../book/clays.ts';
import { useLocalStorage } from '../book/local-storage-state.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { ClayColours } from '../find/clay-colours.ts';
import { ClosestSoFar } from '../find/closest-so-far.tsx';
import {
  FIRST_REQUEST,
  type FindRequest,
  isFindRequest,
  type RequestAim,
  withChange,
} from '../find/find-request.ts';
import { findRequestInWords } from '../find/find-request-in-words.ts';
import { FoundRecipes } from '../find/found-recipes.tsx';
import { HandBench } from '../find/hand-bench.tsx';
import { NextInPalette } from '../find/palette-aims.tsx';
import { askOf } from '../find/question-from-request.ts';
import { RulesDialog } from '../find/rules-dialog.tsx';
import { type Studio, useStudio } from '../find/studio.ts';
import { useFind } from '../find/use-find.ts';
import { type Hand, useHand } from '../find/use-hand.ts';
import { useStableOrder } from '../find/use-stable-order.ts';
import { Button } from '../parts/button.tsx';
import { ClaysGate } from '../parts/clays-gate.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import type { Prediction } from '../workers/messages.ts';
import { SaveMix } from './save-mix.tsx';

/** Which whole parts of what I own give this colour? */
export function Find() {
  return <ClaysGate>{(clays) => <SearchWith clays={clays} />}</ClaysGate>;
}

function SearchWith({ clays }: { clays: OpenClays }) {
  const studio = useStudio(clays);
  // The request needs names and lines, so that the search waits for them.
  if (studio.isPending) return <JobProgress what="Loading your clays" />;
  return <FindIn clays={clays} studio={studio} />;
}

const NO_HAND: Hand = [];
const Aims = memo(AimPicker);

function FindIn({ clays, studio }: { clays: OpenClays; studio: Studio }) {
  const [request, setRequest] = useLocalStorage<FindRequest>('find', FIRST_REQUEST, isFindRequest);
  useAimOfAddress(request, setRequest);
  const here = useHand();
  const { show, clear } = here;
  const [rulesOpen, setRulesOpen] = useState(false);
  const [toSave, setToSave] = useState<
    { readonly hand: Hand; readonly predicted: Prediction } | undefined
  >();
  const [saveOpen, setSaveOpen] = useState(false);
  const onSave = useCallback((mix: { readonly hand: Hand; readonly predicted: Prediction }) => {
    setToSave(mix);
    setSaveOpen(true);
  }, []);
  const navigate = useNavigate();
  const ask = useMemo(() => askOf(request, studio), [request, studio]);
  const finding = useFind(clays, ask);
  const { aim, batchG } = request;
  const words = useMemo(() => findRequestInWords(request, studio), [request, studio]);

  const handOf = useCallback(
    (recipe: Recipe): Hand =>
      recipe.flatMap(({ clay: name, parts }) => {
        const clay = studio.byName.get(name);
        return clay === undefined ? [] : [{ blockId: clay.blockId, parts }];
      }),
    [studio],
  );
  const best = finding.found?.found.recipes[0];
  const found = useMemo(() => (best === undefined ? NO_HAND : handOf(best.parts)), [best, handOf]);
  const question = useMemo(() => JSON.stringify(ask ?? null), [ask]);
  const closest = useStableOrder(found, question, sameHand);

  const onChange = useCallback(
    (next: FindRequest) => {
      setRequest(next);
      clear();
    },
    [setRequest, clear],
  );
  const onAim = useCallback(
    (next: RequestAim) => onChange(withChange(request, { aim: next })),
    [request, onChange],
  );
  const onBatch = useCallback(
    (next: number | undefined) => {
      const none = next === undefined ? { withinStock: undefined } : {};
      setRequest(withChange(request, { batchG: next, ...none }));
    },
    [request, setRequest],
  );
  const onShow = useCallback(
    (recipe: Recipe) => {
      show(handOf(recipe));
      showBench();
    },
    [show, handOf],
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
        <h1>Find a recipe</h1>
        <p className="soft">
          {clays.rough
            ? 'There is no clay model yet, so these recipes are rough: a start for a first test ball. Baked tiles make them better.'
            : 'Choose a colour. Kneadwell lists recipes from your clays, closest first.'}
        </p>
      </header>
      <div className="beside finding">
        <div className="stack finding-aim">
          <h2>Colour you want</h2>
          <Aims aim={aim} onAim={onAim} />
          {aim === undefined || best === undefined ? null : (
            <ClosestSoFar aim={aim.lab} best={best} onShow={showBench} />
          )}
        </div>
        <section className="stack tight finding-rules" aria-label="Rules">
          <p>{words}</p>
          <div className="actions">
            <Button onPress={openRules}>Change rules</Button>
          </div>
        </section>
        <div className="stack finding-bench">
          <HandBench
            clays={clays}
            studio={studio}
            aim={aim}
            here={here}
            closest={closest}
            batchG={batchG}
            onBatch={onBatch}
            onSave={onSave}
          >
            {aim?.palette === undefined ? null : <NextInPalette aim={aim} onChoose={onAim} />}
          </HandBench>
          {aim === undefined ? null : (
            <FoundRecipes
              finding={finding}
              aim={aim.lab}
              request={request}
              studio={studio}
              rough={clays.rough}
              labOf={labOf}
              onShow={onShow}
              onChange={onChange}
              onRules={openRules}
            />
          )}
        </div>
      </div>
      <ClayColours value={labOfBlock}>
        <RulesDialog
          isOpen={rulesOpen}
          onClose={closeRules}
          request={request}
          studio={studio}
          onChange={onChange}
          no={finding.fault?.message}
        />
      </ClayColours>
      {toSave === undefined ? null : (
        <SaveMix
          isOpen={saveOpen}
          onClose={() => setSaveOpen(false)}
          onSaved={(mix: RecordOf<'mix'>) => {
            setSaveOpen(false);
            void navigate({ to: '/book/$id', params: { id: mix.id } });
          }}
          suggestedName={spokenColour(toSave.predicted.lab)}
          body={{
            parts: toSave.hand.map(({ blockId, parts }) => ({
              of: { kind: 'block', id: blockId },
              parts,
            })),
            basis: clays.worker.basis,
            status: 'test',
            predicted: {
              lab: toSave.predicted.lab as [number, number, number],
              plusMinus: Math.min(100, toSave.predicted.plusMinus),
              ...(clays.modelId === undefined ? {} : { clayModelId: clays.modelId }),
            },
          }}
        />
      )}
    </div>
  );
}

/** Scrolls to the colour wanted and the mix. */
function showBench(): void {
  document.querySelector('.finding-bench > .bench')?.scrollIntoView({ block: 'start' });
}

function sameHand(one: Hand, other: Hand): boolean {
  return (
    one.length === other.length &&
    one.every(({ blockId, parts }, i) => blockId === other[i].blockId && parts === other[i].parts)
  );
}

/** A colour handed over by another screen, in the address. */
function useAimOfAddress(request: FindRequest, setRequest: (next: FindRequest) => void): void {
  const { aim, called, block } = useSearch({ strict: false });
  const taken = useRef<string | undefined>(undefined);
  useEffect(() => {
    if (aim === undefined || taken.current === aim) return;
    taken.current = aim;
    const [l, a, b, ...rest] = aim.split('_').map(Number);
    if (rest.length > 0 || ![l, a, b].every(Number.isFinite)) return;
    const lab: Lab = [l, a, b];
    const words = called ?? spokenColour(lab);
    const blockId = block === undefined ? {} : { blockId: block };
    setRequest(withChange(request, { aim: { lab, words, ...blockId } }));
  }, [aim, called, block, request, setRequest]);
}
