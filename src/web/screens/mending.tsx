import '../look/lump.css';
import { Link, useSearch } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { mendedMixStep } from '../../domain/changes/mended-mix.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import type { Addition, MendAnswer } from '../../verbs/mend.ts';
import { newId, sendChange, wordsOf } from '../book/change.ts';
import type { OpenClays } from '../book/clays.ts';
import { titleOfMix } from '../book/names.ts';
import { showNotice } from '../book/notice.ts';
import { useRecord, useTakenBack } from '../book/queries.ts';
import { predictedOf, wantedOf } from '../book/saved-with-mix.ts';
import { massInWords, useUnits } from '../book/units.ts';
import { useVerb } from '../book/use-verb.ts';
import { aimFromAddress, labInAddress } from '../colour/lab-in-address.ts';
import type { RequestAim } from '../find/find-request.ts';
import { handOfRecipe } from '../find/recipe-hand.ts';
import type { Studio } from '../find/studio.ts';
import { StudioGate } from '../find/studio-gate.tsx';
import { type Hand, withParts } from '../find/use-hand.ts';
import { Button } from '../parts/button.tsx';
import { ClayAdder } from '../parts/clay-picker.tsx';
import { Part } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { recipeInWords } from '../parts/piece-group.ts';
import { Pieces } from '../parts/pieces.tsx';
import { type Layer, Stack } from '../parts/stack.tsx';
import { count } from './count.ts';
import { CameOut } from './lump/came-out.tsx';
import { groupsOfHand, recipeOfHand, useHandOfMix } from './lump/hand-of-mix.ts';
import { type Looks, LooksPicker, useBakedLooks } from './lump/looks.tsx';
import { LumpSizeField, lumpSizeOf, NO_SIZE } from './lump/lump-size.tsx';
import { WantedColour } from './lump/wanted-colour.tsx';
import { useWantedOf } from './lump/wanted-of.ts';
import { WhatToAdd } from './lump/what-to-add.tsx';

/** What do I add to this lump? */
export function Mending() {
  return (
    <StudioGate>{(clays, studio) => <MendOfAddress clays={clays} studio={studio} />}</StudioGate>
  );
}

function MendOfAddress({ clays, studio }: { readonly clays: OpenClays; readonly studio: Studio }) {
  const { mix: id } = useSearch({ strict: false });
  const { record, isPending } = useRecord(id);
  const mix = record?.kind === 'mix' ? record : undefined;
  const held = useHandOfMix(mix, clays);
  const wanted = useWantedOf(mix);
  if ((id !== undefined && isPending) || held.state === 'loading') {
    return <JobProgress what="Loading the mix" />;
  }
  return (
    <Mend
      key={id}
      clays={clays}
      studio={studio}
      mix={mix}
      wanted={wanted}
      first={held.state === 'known' ? held.hand : []}
      why={held.state === 'no' ? held.why : undefined}
    />
  );
}

interface MendHere {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly mix: RecordOf<'mix'> | undefined;
  /** The pieces the mix is made of; empty where nobody knows. */
  readonly first: Hand;
  /** The colour the mix was made for, else the one it is predicted to have. */
  readonly wanted: RequestAim | undefined;
  /** Why the pieces of the mix are not known. */
  readonly why: string | undefined;
}

function Mend({ clays, studio, mix, first, wanted, why }: MendHere) {
  const address = aimFromAddress(useSearch({ strict: false }));
  const units = useUnits();
  const [hand, setHand] = useState(first);
  const [typedSize, setSize] = useState(NO_SIZE);
  const [looks, setLooks] = useState<Looks | undefined>();
  const [ownAim, setAim] = useState<RequestAim | undefined>(address);
  const [chosen, setChosen] = useState<number | undefined>();
  const [made, setMended] = useState<RecordOf<'mix'> | undefined>();
  const mended = useTakenBack(made?.id) ? undefined : made;
  const baked = useBakedLooks(looks);
  const aim = ownAim ?? wanted;
  const counted = hand.reduce((sum, { parts }) => sum + parts, 0);
  const size = lumpSizeOf(typedSize, counted);
  const recipe = useMemo(() => recipeOfHand(hand, studio), [hand, studio]);
  const knows = recipe !== undefined || baked !== undefined;
  const question =
    aim === undefined || size === 'unreadable' || !knows
      ? undefined
      : {
          aim: aim.lab,
          amount: size.pieces,
          ...(recipe === undefined ? {} : { lump: recipe }),
          ...(baked === undefined ? {} : { looks: baked.lab, looksSpread: baked.spread }),
        };
  const heard = useVerb(clays, studio, 'mend', question);
  const answer = heard.latest?.answer;
  const place = answer === undefined ? -1 : (chosen ?? answer.recommended ?? 0);
  const addition = answer?.additions[place];
  const title = mix === undefined ? 'The lump' : titleOfMix(mix);
  const pieceG = size === 'unreadable' ? undefined : size.pieceG;
  const ofPieces = (pieces: number) =>
    pieceG === undefined
      ? count(Number(pieces.toFixed(2)), 'piece')
      : `${count(Number(pieces.toFixed(2)), 'piece')}, ${massInWords(pieces * pieceG, units)}`;

  const layers: Layer[] = [
    {
      name: 'The lump',
      note: looks === undefined ? 'as predicted' : looks.state === 'raw' ? 'once baked' : undefined,
      lab: baked?.lab ?? answer?.lump.shown,
      coming: baked === undefined && question !== undefined && answer === undefined,
    },
    { name: 'Wanted', note: aim?.words, lab: aim?.lab },
    {
      name: 'Mended',
      lab: addition?.shown,
      covariance: addition?.covariance,
      coming: question !== undefined && answer === undefined && heard.fault === undefined,
    },
  ];
  const groups =
    addition === undefined
      ? groupsOfHand(hand, clays, studio)
      : groupsAfter(addition, answer!, clays, studio);

  const take = async () => {
    if (addition === undefined || answer === undefined || aim === undefined) return;
    const parts = handOfRecipe(addition.recipe, studio).map(({ blockId, parts: n }) => ({
      of: { kind: 'block' as const, id: blockId },
      parts: Number(n.toFixed(4)),
    }));
    const added = recipeInWords(addition.add);
    const step = mendedMixStep(
      {
        from: mix,
        called: title,
        added,
        growth: addition.growth,
        parts,
        basis: clays.worker.basis,
        wanted: wantedOf(aim),
        predicted: predictedOf(
          { lab: addition.shown, plusMinus: addition.plusMinus },
          clays.modelId,
        ),
      },
      newId('mix'),
    );
    try {
      const [saved] = await sendChange(`Saved ${title}, mended`, [step]);
      setMended(saved as RecordOf<'mix'>);
      window.scrollTo(0, 0);
    } catch (fault) {
      showNotice({ text: wordsOf(fault) });
    }
  };

  if (mended !== undefined && addition !== undefined) {
    return (
      <div className="screen mend">
        <header className="mend-head">
          <h1>Add {recipeInWords(addition.add)}</h1>
          <Link to="/book/$id" params={{ id: mended.id }}>
            {titleOfMix(mended)}
          </Link>
        </header>
        <p className="lead">
          Knead until no streaks are left, and bake a chip. Then hold the chip to the colour you
          want.
        </p>
        <h2>How did it come out?</h2>
        <CameOut mix={mended} wanted={aim?.lab} />
      </div>
    );
  }

  return (
    <div className="screen mend">
      <header className="mend-head">
        <h1>Mend the lump</h1>
        {mix === undefined ? null : (
          <Link to="/book/$id" params={{ id: mix.id }}>
            {title}
          </Link>
        )}
      </header>
      {why === undefined ? null : <p className="warning">{why}</p>}
      <section className="bench across" aria-label="Lump, wanted and mended">
        <Stack
          layers={layers}
          foot={{ name: 'Pieces', note: counted === 0 ? 'not known' : ofPieces(counted) }}
        >
          {groups.length === 0 ? null : <Pieces groups={groups} />}
        </Stack>
      </section>
      <div className="mend-columns">
        <section className="stack" aria-label="What to add" aria-live="polite">
          {question === undefined ? (
            <p className="lead">{whatIsMissing(aim, knows, size === 'unreadable')}</p>
          ) : heard.fault !== undefined ? (
            <p className="warning lead">{wordsOf(heard.fault)}</p>
          ) : answer === undefined || aim === undefined ? (
            <JobProgress what={heard.latest?.what ?? 'Weighing the lump'} onStop={heard.stop} />
          ) : (
            <WhatToAdd
              answer={answer}
              aim={aim.lab}
              old={heard.old}
              place={place}
              onChoose={setChosen}
              ofPieces={ofPieces}
              pieces={size === 'unreadable' ? 0 : size.pieces}
            />
          )}
          <div className="actions mend-actions">
            <Button
              kind={answer?.leave === undefined && answer?.afresh === undefined ? 'main' : 'plain'}
              isDisabled={addition === undefined || heard.old}
              onPress={() => take()}
            >
              I will add these
            </Button>
            {answer?.afresh === undefined || aim === undefined ? null : (
              <Link
                className="button"
                data-kind="main"
                to="/find"
                search={{ aim: labInAddress(aim.lab), called: aim.words }}
              >
                Mix it new
              </Link>
            )}
          </div>
          {answer === undefined || aim === undefined ? null : (
            <p className="small soft">
              Nothing is taken out. Keep a small piece of the lump as it is until the mended one is
              baked and right.
            </p>
          )}
        </section>
        <Part title="How does the lump look?">
          {looks === undefined ? (
            <p className="small">
              Bake a chip of the lump and let it cool. Hold the chip to this page and move the
              sliders until both look the same.
            </p>
          ) : (
            <div className="actions">
              <Button kind="quiet" onPress={() => setLooks(undefined)}>
                Back to the predicted colour
              </Button>
            </div>
          )}
          <LooksPicker
            looks={looks}
            start={answer?.lump.shown ?? aim?.lab}
            onLooks={(next) => {
              setLooks(next);
              setChosen(undefined);
            }}
          />
        </Part>
        <Part title="What is in the lump?">
          {hand.length === 0 ? (
            <p className="small">
              If nobody knows the pieces, its colour is enough: say above how it looks.
            </p>
          ) : (
            <Pieces
              groups={groupsOfHand(hand, clays, studio)}
              onChange={(id, parts) => {
                setHand(withParts(hand, id, parts));
                setChosen(undefined);
              }}
            />
          )}
          <div className="actions">
            <ClayAdder
              label="Add a clay"
              among={(id) => studio.byBlock.has(id) && !hand.some(({ blockId }) => blockId === id)}
              onChoose={(blockId) => setHand(withParts(hand, blockId, 1))}
            />
          </div>
          <LumpSizeField size={typedSize} counted={counted} onSize={setSize} />
        </Part>
        <WantedColour
          aim={aim}
          given={wanted !== undefined || address !== undefined}
          onAim={setAim}
        />
      </div>
    </div>
  );
}

function whatIsMissing(aim: RequestAim | undefined, knows: boolean, unreadable: boolean): string {
  if (aim === undefined) return 'Choose the colour you want.';
  if (!knows) return 'Say what is in the lump, or how it looks.';
  return unreadable ? 'The size of the lump is not a number.' : '';
}

/** Pieces of the whole after an addition, those added marked. */
function groupsAfter(addition: Addition, answer: MendAnswer, clays: OpenClays, studio: Studio) {
  const { recipe } = answer.doubt ?? answer.lump;
  const before = new Map(recipe.map(({ clay, parts }) => [clay, parts]));
  return groupsOfHand(handOfRecipe(addition.recipe, studio), clays, studio).map((group) => ({
    ...group,
    was: before.get(group.name) ?? 0,
  }));
}
