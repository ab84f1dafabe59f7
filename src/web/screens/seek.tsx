import { useNavigate, useSearch } from '@tanstack/react-router';
import { useEffect, useMemo, useRef, useState } from 'react';
import type { RecordOf } from '../../contract/book/record.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { verdict } from '../../core/recipe/verdict.ts';
import { AimPicker } from '../aims/aim-picker.tsx';
import type { OpenClays } from '../book/clays.ts';
import { useKeptHere } from '../book/kept-here.ts';
import { useBlockNames } from '../book/names.ts';
import { useAll } from '../book/queries.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { AimAndPrediction } from '../parts/aim-and-prediction.tsx';
import { Button } from '../parts/button.tsx';
import { ClaysGate } from '../parts/clays-gate.tsx';
import { Pick } from '../parts/field.tsx';
import { PieceRow } from '../parts/piece-row.tsx';
import { VerdictLine } from '../parts/verdict-line.tsx';
import { KeepMix } from './keep-mix.tsx';
import { FoundRecipes } from './seek-found.tsx';
import { askOf, FIRST_QUESTION, isQuestion, type SeekQuestion } from './seek-question.ts';
import { SeekRulesForm } from './seek-rules.tsx';
import { useForetold, useSeek } from './use-seek.ts';

/** Parts by block, in the order they are shown; nought is a clay laid aside, still in reach. */
type Hand = readonly { readonly blockId: string; readonly parts: number }[];

/** Which whole parts of what I own give this colour? */
export function Seek() {
  return <ClaysGate>{(clays) => <SeekWith clays={clays} />}</ClaysGate>;
}

function SeekWith({ clays }: { clays: OpenClays }) {
  const [question, setQuestion] = useKeptHere<SeekQuestion>('seek', FIRST_QUESTION, isQuestion);
  useAimOfAddress(question, setQuestion);
  const [hand, setHand] = useState<Hand | undefined>();
  const [keeping, setKeeping] = useState(false);
  const navigate = useNavigate();
  const { nameOf } = useBlockNames();
  const blocks = useAll('block');
  const ask = useMemo(() => askOf(question, clays, blocks.byId), [question, clays, blocks.byId]);
  const seeking = useSeek(clays, ask);
  const blockOf = useMemo(
    () => new Map(clays.blocks.map((block) => [block.parent, block])),
    [clays.blocks],
  );
  const best = seeking.answer?.recipes[0];
  const shown: Hand =
    hand ??
    best?.parts.map(({ parent, parts }) => ({ blockId: blockOf.get(parent)!.blockId, parts })) ??
    [];
  const shares = shown.flatMap(({ blockId, parts }) => {
    const block = clays.byBlock.get(blockId);
    return block === undefined ? [] : [{ parent: block.parent, parts }];
  });
  const foretold = useForetold(clays, shares);
  const { aim } = question;
  // Drawn anew only when what they show changes, so that a piece moved by hand is seen within a frame.
  const aimPart = useMemo(() => {
    const setAim = (next: NonNullable<SeekQuestion['aim']>) => {
      setQuestion({ ...question, aim: next });
      setHand(undefined);
    };
    return <AimPicker aim={question.aim} onAim={setAim} />;
  }, [question, setQuestion]);
  const rulesPart = useMemo(
    () => (
      <SeekRulesForm
        question={question}
        onChange={(next) => {
          setQuestion(next);
          setHand(undefined);
        }}
        clays={clays}
      />
    ),
    [question, setQuestion, clays],
  );
  const foundPart = useMemo(() => {
    if (question.aim === undefined || ask === undefined) return null;
    return (
      <FoundRecipes
        seeking={seeking}
        aim={question.aim.lab}
        nameOf={(parent) => nameOf(blockOf.get(parent)?.blockId ?? '')}
        labOf={(parent) => blockOf.get(parent)?.lab}
        rough={clays.rough}
        onTake={(parts) =>
          setHand(
            parts.map(({ parent, parts: n }) => ({
              blockId: blockOf.get(parent)!.blockId,
              parts: n,
            })),
          )
        }
        onWiden={(change) => {
          setHand(undefined);
          setQuestion({ ...question, ...change });
        }}
        question={question}
      />
    );
  }, [question, setQuestion, ask, seeking, nameOf, blockOf, clays.rough]);

  const used = shown.filter(({ parts }) => parts > 0);
  const groups = shown.map(({ blockId, parts }) => ({
    id: blockId,
    name: nameOf(blockId),
    lab: clays.byBlock.get(blockId)?.lab,
    parts,
  }));
  const judged =
    aim === undefined || foretold === undefined
      ? undefined
      : verdict(aim.lab, foretold.lab, foretold.covariance);
  const mayAdd = clays.blocks.filter(({ blockId }) => !shown.some((h) => h.blockId === blockId));

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
          {aimPart}
        </div>
        <div className="stack seeking-rules">
          <h2>The rules</h2>
          {rulesPart}
        </div>
        <div className="stack seeking-bench">
          <section className="bench" aria-label="Aim and mix">
            <AimAndPrediction
              aim={aim?.lab}
              aimName={aim === undefined ? 'Choose an aim' : `Aim: ${aim.words}`}
              made={foretold}
              madeName={hand === undefined ? 'The nearest mix' : 'Your mix'}
            />
            {judged === undefined || aim === undefined || foretold === undefined ? (
              <p className="lead">
                {aim === undefined
                  ? 'Move the sliders, or take a colour from your book, a picture or a Munsell page.'
                  : 'No recipe yet.'}
              </p>
            ) : (
              <VerdictLine
                verdict={judged}
                aim={aim.lab}
                made={foretold.lab}
                live={hand !== undefined}
              />
            )}
            {groups.length === 0 ? null : (
              <PieceRow
                groups={groups}
                onChange={(id, parts) =>
                  setHand(shown.map((one) => (one.blockId === id ? { ...one, parts } : one)))
                }
              />
            )}
            {aim === undefined ? null : (
              <div className="doings thumb-free">
                <Button kind="main" isDisabled={used.length === 0} onPress={() => setKeeping(true)}>
                  Keep this mix
                </Button>
                {mayAdd.length === 0 ? null : (
                  <Pick
                    label="Put in another clay"
                    value=""
                    onChange={(id) => setHand([...shown, { blockId: id, parts: 1 }])}
                    options={[
                      ['', 'choose'],
                      ...mayAdd.map(({ blockId }) => [blockId, nameOf(blockId)] as const),
                    ]}
                  />
                )}
                {hand === undefined ? null : (
                  <Button onPress={() => setHand(undefined)}>Back to the nearest</Button>
                )}
              </div>
            )}
          </section>
          {foundPart}
          {aim !== undefined && ask === undefined ? (
            <p className="lead">Tick at least one clay to use, and recipes will arrive.</p>
          ) : null}
        </div>
      </div>
      {foretold === undefined || used.length === 0 ? null : (
        <KeepMix
          isOpen={keeping}
          onClose={() => setKeeping(false)}
          onKept={(mix: RecordOf<'mix'>) => {
            setKeeping(false);
            void navigate({ to: '/book/$id', params: { id: mix.id } });
          }}
          suggestedName={keeping ? spokenColour(foretold.lab) : ''}
          body={{
            parts: used.map(({ blockId, parts }) => ({
              of: { kind: 'block', id: blockId },
              parts,
            })),
            basis: 'volume',
            status: 'trial',
            foretold: {
              lab: foretold.lab as [number, number, number],
              plusMinus: Math.min(100, foretold.plusMinus),
              ...(clays.modelId === undefined ? {} : { clayModelId: clays.modelId }),
            },
          }}
        />
      )}
    </div>
  );
}

/** An aim handed over by another screen stands in the address. */
function useAimOfAddress(question: SeekQuestion, setQuestion: (next: SeekQuestion) => void): void {
  const { aim, called } = useSearch({ strict: false }) as { aim?: string; called?: string };
  const taken = useRef<string | undefined>(undefined);
  useEffect(() => {
    if (aim === undefined || taken.current === aim) return;
    taken.current = aim;
    const lab = aim.split('_').map(Number);
    if (lab.length !== 3 || !lab.every(Number.isFinite)) return;
    const words = called ?? spokenColour(lab as unknown as Lab);
    setQuestion({ ...question, aim: { lab: lab as unknown as Lab, words } });
  }, [aim, called, question, setQuestion]);
}
