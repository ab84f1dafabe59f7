import '../find/find.css';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { memo, Suspense, useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { AimPicker } from '../aims/aim-picker.tsx';
import type { OpenClays } from '../book/clays.ts';
import { useLocalStorage } from '../book/local-storage-state.ts';
import { ClayColours } from '../colour/clay-colours.ts';
import { aimFromAddress } from '../colour/lab-in-address.ts';
import { FindActions } from '../find/find-actions.tsx';
import { FindBench } from '../find/find-bench.tsx';
import { FindDetails } from '../find/find-details.tsx';
import {
  FIRST_AIM,
  FIRST_REQUEST,
  type FindRequest,
  isFindRequest,
  type RequestAim,
  withChange,
} from '../find/find-request.ts';
import { findRequestInWords } from '../find/find-request-in-words.ts';
import { FindVerdict } from '../find/find-verdict.tsx';
import { FoundRecipes } from '../find/found-recipes.tsx';
import { gapInWords, ReachPicture, WaysOn } from '../find/no-recipe-close.tsx';
import { NextInPalette } from '../find/palette-aims.tsx';
import { askOf } from '../find/question-from-request.ts';
import { handOfRecipe } from '../find/recipe-hand.ts';
import type { Studio } from '../find/studio.ts';
import { StudioGate } from '../find/studio-gate.tsx';
import { useFind, usePrediction } from '../find/use-find.ts';
import { type Hand, useHand } from '../find/use-hand.ts';
import { useStableOrder } from '../find/use-stable-order.ts';
import { DialogComing } from '../parts/dialog.tsx';
import { later } from '../parts/later.ts';
import { recipeInWords } from '../parts/piece-group.ts';

/** Which whole parts of what I own give this colour? */
export function Find() {
  // The request needs names and lines, so that the search waits for them.
  return <StudioGate>{(clays, studio) => <FindIn clays={clays} studio={studio} />}</StudioGate>;
}

const RulesDialog = later(async () => (await import('../find/rules-dialog.tsx')).RulesDialog);

const NO_HAND: Hand = [];
const Aims = memo(AimPicker);

function FindIn({ clays, studio }: { clays: OpenClays; studio: Studio }) {
  const [saved, setRequest] = useLocalStorage<FindRequest>('find', FIRST_REQUEST, isFindRequest);
  useAimOfAddress(saved, setRequest);
  const aim = saved.aim ?? FIRST_AIM;
  const request = useMemo(() => withChange(saved, { aim }), [saved, aim]);
  const here = useHand();
  const { show, clear } = here;
  const [rulesOpen, setRulesOpen] = useState(false);
  const navigate = useNavigate();
  const ask = useMemo(() => askOf(request, studio), [request, studio]);
  const finding = useFind(clays, ask);
  const words = useMemo(() => findRequestInWords(request, studio), [request, studio]);

  const best = finding.found?.found.recipes[0];
  const found = useMemo(
    () => (best === undefined ? NO_HAND : handOfRecipe(best.parts, studio)),
    [best, studio],
  );
  const question = useMemo(() => JSON.stringify(ask ?? null), [ask]);
  const first = useStableOrder(found, question, sameHand);
  const shown = here.hand ?? first.shown;
  const predicted = usePrediction(clays, shown);
  const gapReport = finding.fault === undefined ? finding.found?.found.gapReport : undefined;

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
    (hand: Hand) => {
      show(hand);
      document.querySelector('.find')?.scrollIntoView({ block: 'start' });
    },
    [show],
  );
  const openRules = useCallback(() => setRulesOpen(true), []);
  const closeRules = useCallback(() => setRulesOpen(false), []);
  const labOfBlock = useCallback((id: string) => clays.byBlock.get(id)?.lab, [clays]);
  const shownKey = useMemo(
    () =>
      recipeInWords(
        shown.map(({ blockId, parts }) => ({
          clay: studio.byBlock.get(blockId)?.name ?? '',
          parts,
        })),
      ),
    [shown, studio],
  );
  const gap =
    gapReport === undefined
      ? undefined
      : {
          clays,
          gapReport,
          best: finding.found?.found.recipes[0],
          aim: aim.lab,
          request,
          studio,
          looking: !finding.found!.done && !finding.stopped,
          onChange,
        };

  return (
    <ClayColours value={labOfBlock}>
      <div className="screen find">
        <h1 className="unseen">Find a recipe</h1>
        <div className="find-top">
          <div className="find-seen">
            <section
              className="bench across find-bench"
              aria-label="Aim and mix"
              {...first.holders}
            >
              <FindBench
                clays={clays}
                studio={studio}
                aim={aim}
                here={here}
                shown={shown}
                predicted={predicted}
                searching={finding.found === undefined && finding.fault === undefined}
                far={gapReport !== undefined}
                batchG={request.batchG}
              />
            </section>
            <FindVerdict
              clays={clays}
              studio={studio}
              aim={aim.lab}
              request={request}
              shown={shown}
              predicted={predicted}
              byHand={here.hand !== undefined}
              known={here.hand === undefined ? best?.chance : undefined}
              old={finding.old}
              gap={gap === undefined || here.hand !== undefined ? undefined : gapInWords(gap)}
            />
          </div>
          <section className="find-aim" aria-label="Colour you want">
            <Aims aim={aim} onAim={onAim} />
            {aim.palette === undefined ? null : <NextInPalette aim={aim} onChoose={onAim} />}
          </section>
          <FindActions
            clays={clays}
            studio={studio}
            here={here}
            shown={shown}
            aim={aim}
            canSave={predicted !== undefined}
            onSaved={(mix) => void navigate({ to: '/book/$id', params: { id: mix.id } })}
          >
            <FindDetails
              aim={aim.lab}
              predicted={predicted}
              batchG={request.batchG}
              onBatch={onBatch}
            />
          </FindActions>
          {gap === undefined || here.hand !== undefined ? null : <ReachPicture {...gap} />}
        </div>
        {gap === undefined ? null : <WaysOn {...gap} />}
        <FoundRecipes
          clays={clays}
          finding={finding}
          aim={aim.lab}
          request={request}
          studio={studio}
          words={words}
          shownKey={shownKey}
          onShow={onShow}
          onChange={onChange}
          onRules={openRules}
        />
        <div className="actions">
          <Link to="/colour-range">Colour range</Link>
        </div>
        {rulesOpen ? (
          <Suspense fallback={<DialogComing />}>
            <RulesDialog
              onClose={closeRules}
              request={request}
              studio={studio}
              onChange={onChange}
              no={finding.fault?.message}
            />
          </Suspense>
        ) : null}
      </div>
    </ClayColours>
  );
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
    const colour = aimFromAddress({ aim, called });
    if (colour === undefined) return;
    const blockId = block === undefined ? {} : { blockId: block };
    setRequest(withChange(request, { aim: { ...colour, ...blockId } }));
  }, [aim, called, block, request, setRequest]);
}
