import '../find/find.css';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import {
  memo,
  Suspense,
  useCallback,
  useDeferredValue,
  useEffect,
  useMemo,
  useRef,
  useState,
} from 'react';
import type { FoundRecipe } from '../../core/find/find-answer.ts';
import { AimPicker } from '../aims/aim-picker.tsx';
import { useLocalStorage } from '../book/local-storage-state.ts';
import { ClayColours } from '../colour/clay-colours.ts';
import { aimFromAddress } from '../colour/lab-in-address.ts';
import { FindActions } from '../find/find-actions.tsx';
import { BenchComing, FindBench } from '../find/find-bench.tsx';
import { FindDetails } from '../find/find-details.tsx';
import {
  FIRST_AIM,
  FIRST_REQUEST,
  type FindRequest,
  isFindRequest,
  type RequestAim,
  withChange,
} from '../find/find-request.ts';
import { FindVerdict, VerdictComing } from '../find/find-verdict.tsx';
import { FoundRecipes } from '../find/found-recipes.tsx';
import { NoClays } from '../find/no-clays.tsx';
import { gapInWords, ReachPicture, WaysOn } from '../find/no-recipe-close.tsx';
import { NextInPalette } from '../find/palette-aims.tsx';
import { askOf } from '../find/question-from-request.ts';
import { handOfRecipe } from '../find/recipe-hand.ts';
import { type ClaysAndStudio, useClaysAndStudio } from '../find/studio-gate.tsx';
import { useFind, usePrediction } from '../find/use-find.ts';
import { type Hand, useHand } from '../find/use-hand.ts';
import { useStableOrder } from '../find/use-stable-order.ts';
import { DialogComing } from '../parts/dialog.tsx';
import { later } from '../parts/later.ts';
import { recipeInWords } from '../parts/piece-group.ts';
import type { Prediction } from '../workers/messages.ts';

/** Which whole parts of what I own give this colour? */
export function Find() {
  const { state, open } = useClaysAndStudio();
  if (state.state === 'refused' || state.state === 'too-few') return <NoClays clays={state} />;
  return <FindIn open={open} />;
}

const RulesDialog = later(async () => (await import('../find/rules-dialog.tsx')).RulesDialog);

const NO_HAND: Hand = [];

/** The first recipe of a search, and its colour. */
interface FirstFound {
  readonly hand: Hand;
  readonly predicted: Prediction | undefined;
}
const NOTHING_FOUND: FirstFound = { hand: NO_HAND, predicted: undefined };

/** Searches look under the light and observer that the page shows colours under. */
function predictionOf({ shown: lab, covariance, plusMinus }: FoundRecipe): Prediction {
  return { lab, covariance, plusMinus };
}

const Aims = memo(AimPicker);

/** The colour wanted can be chosen before the clays are open; the search waits for their names and lines. */
function FindIn({ open }: { readonly open: ClaysAndStudio | undefined }) {
  const [saved, setRequest] = useLocalStorage<FindRequest>('find', FIRST_REQUEST, isFindRequest);
  useAimOfAddress(saved, setRequest);
  const aim = saved.aim ?? FIRST_AIM;
  const request = useMemo(() => ({ ...withChange(saved, { aim }), aim }), [saved, aim]);
  const here = useHand();
  const { show, clear } = here;
  const [rulesOpen, setRulesOpen] = useState(false);
  const navigate = useNavigate();
  const ask = useMemo(() => open && askOf(request, open.studio), [request, open]);
  const finding = useFind(open?.clays, ask);

  const best = finding.found?.found.recipes[0];
  const found = useMemo(
    () =>
      best === undefined || open === undefined
        ? NOTHING_FOUND
        : { hand: handOfRecipe(best.parts, open.studio), predicted: predictionOf(best) },
    [best, open],
  );
  const question = useMemo(() => JSON.stringify(ask ?? null), [ask]);
  const first = useStableOrder(found, question, sameFirst);
  const shown = here.hand ?? first.shown.hand;
  // The search has worked out its first recipe; only a recipe moved by hand is asked for.
  const ofFirst = here.hand === undefined ? first.shown.predicted : undefined;
  const asked = usePrediction(open?.clays, ofFirst === undefined ? shown : NO_HAND);
  const predicted = ofFirst ?? asked ?? first.shown.predicted;
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
  const labOfBlock = useCallback((id: string) => open?.clays.byBlock.get(id)?.lab, [open]);
  const shownKey = useMemo(
    () =>
      recipeInWords(
        shown.map(({ blockId, parts }) => ({
          clay: open?.studio.byBlock.get(blockId)?.name ?? '',
          parts,
        })),
      ),
    [shown, open],
  );
  const gap =
    open === undefined || gapReport === undefined
      ? undefined
      : {
          ...open,
          gapReport,
          best: finding.found?.found.recipes[0],
          aim: aim.lab,
          request,
          looking: !finding.found!.done && !finding.stopped,
          onChange,
        };
  // The cards follow a moved slider or piece when the bench has been drawn.
  const cards = useDeferredValue(useMemo(() => ({ request, shownKey }), [request, shownKey]));
  const searching = finding.found === undefined && finding.fault === undefined;

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
              {open === undefined ? (
                <BenchComing aim={aim} />
              ) : (
                <FindBench
                  {...open}
                  aim={aim}
                  here={here}
                  shown={shown}
                  predicted={predicted}
                  searching={searching}
                  far={gapReport !== undefined}
                  batchG={request.batchG}
                />
              )}
            </section>
            {open === undefined ? (
              <VerdictComing what="Loading your clays" />
            ) : searching && here.hand === undefined ? (
              <VerdictComing what="Looking for recipes" />
            ) : (
              <FindVerdict
                {...open}
                aim={aim.lab}
                request={request}
                shown={shown}
                predicted={predicted}
                byHand={here.hand !== undefined}
                known={here.hand === undefined ? best?.chance : undefined}
                old={finding.old}
                gap={gap === undefined || here.hand !== undefined ? undefined : gapInWords(gap)}
              />
            )}
          </div>
          <section className="find-aim" aria-label="Colour you want">
            <Aims aim={aim} onAim={onAim} />
            {aim.palette === undefined ? null : <NextInPalette aim={aim} onChoose={onAim} />}
          </section>
          {open === undefined ? null : (
            <FindActions
              {...open}
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
          )}
          {gap === undefined || here.hand !== undefined ? null : <ReachPicture {...gap} />}
        </div>
        {gap === undefined ? null : <WaysOn {...gap} />}
        {open === undefined ? null : (
          <FoundRecipes
            {...open}
            finding={finding}
            aim={cards.request.aim.lab}
            request={cards.request}
            shownKey={cards.shownKey}
            onShow={onShow}
            onChange={onChange}
            onRules={openRules}
          />
        )}
        <div className="actions">
          <Link to="/colour-range">Colour range</Link>
        </div>
        {open !== undefined && rulesOpen ? (
          <Suspense fallback={<DialogComing />}>
            <RulesDialog
              onClose={closeRules}
              request={request}
              studio={open.studio}
              onChange={onChange}
              no={finding.fault?.message}
            />
          </Suspense>
        ) : null}
      </div>
    </ClayColours>
  );
}

function sameFirst(one: FirstFound, other: FirstFound): boolean {
  return sameHand(one.hand, other.hand);
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
