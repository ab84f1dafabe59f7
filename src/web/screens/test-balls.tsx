import '../look/lump.css';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import type { Recipe } from '../../core/notation/notation.ts';
import { readTileSteps } from '../../domain/changes/read-tile.ts';
import { type ReadingKind, spreadOfKind } from '../../domain/records/reading-kind.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import type { Ball } from '../../verbs/try.ts';
import { AimPicker } from '../aims/aim-picker.tsx';
import { newId, sendChange, wordsOf } from '../book/change.ts';
import type { OpenClays } from '../book/clays.ts';
import { useLocalStorage } from '../book/local-storage-state.ts';
import { titleOfMix } from '../book/names.ts';
import { showNotice } from '../book/notice.ts';
import { useRecord } from '../book/queries.ts';
import { wantedOf } from '../book/saved-with-mix.ts';
import { useVerb } from '../book/use-verb.ts';
import { aimFromAddress } from '../colour/lab-in-address.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import type { RequestAim } from '../find/find-request.ts';
import { handOfRecipe } from '../find/recipe-hand.ts';
import type { Studio } from '../find/studio.ts';
import { StudioGate } from '../find/studio-gate.tsx';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Part, Pick } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Tile } from '../parts/tile.tsx';
import { BestSoFar, Kept } from './lump/ball-verdicts.tsx';
import { BallsRow, LETTERS } from './lump/balls-row.tsx';
import { type EyeSaid, EyeWords, NOTHING_SAID } from './lump/eye-words.tsx';
import { useWantedOf } from './lump/wanted-of.ts';
import { SaveMix } from './save-mix.tsx';

/** Which of these test balls is closest? */
export function TestBalls() {
  return (
    <StudioGate>{(clays, studio) => <RoundsOfAddress clays={clays} studio={studio} />}</StudioGate>
  );
}

function RoundsOfAddress({
  clays,
  studio,
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
}) {
  const search = useSearch({ strict: false });
  const { record, isPending } = useRecord(search.mix);
  const mix = record?.kind === 'mix' ? record : undefined;
  const wanted = useWantedOf(mix);
  if (search.mix !== undefined && isPending) {
    return <JobProgress what="Loading your clays" />;
  }
  return (
    <Rounds
      key={search.mix}
      clays={clays}
      studio={studio}
      mix={mix}
      given={aimFromAddress(search) ?? wanted}
    />
  );
}

/** One round: the balls, and what the eye said of them. */
interface Round {
  readonly balls: readonly Recipe[];
  readonly verdict: { readonly nearest: Nearest } & Partial<EyeSaid>;
}
type Nearest = 0 | 1 | 2 | 'none';

/** Rounds of one wanted colour, saved on this device so that rolling may take its time. */
interface Rolled {
  readonly of: string;
  readonly rounds: readonly Round[];
}

const NOTHING_ROLLED: Rolled = { of: '', rounds: [] };
/** After so many rounds most colours are a match (bench/by-eye.ts). */
const USUAL_ROUNDS = 3;

function isRolled(saved: unknown): saved is Rolled {
  const one = saved as Partial<Rolled> | null;
  return typeof one?.of === 'string' && Array.isArray(one.rounds);
}

function Rounds({
  clays,
  studio,
  mix,
  given,
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly mix: RecordOf<'mix'> | undefined;
  readonly given: RequestAim | undefined;
}) {
  const navigate = useNavigate();
  const [own, setAim] = useState<RequestAim | undefined>();
  const aim = own ?? given;
  const [kind, setKind] = useState<ReadingKind>('by eye');
  const [state, setState] = useState<'raw' | 'baked'>('raw');
  const [rolled, setRolled] = useLocalStorage('test balls', NOTHING_ROLLED, isRolled);
  const [nearest, setNearest] = useState<Nearest | undefined>();
  const [said, setSaid] = useState(NOTHING_SAID);
  const [toSave, setToSave] = useState<{ readonly ball: Ball; readonly same: boolean }>();
  const of = JSON.stringify(aim?.lab ?? []);
  const rounds = rolled.of === of ? rolled.rounds : NOTHING_ROLLED.rounds;
  const question = useMemo(
    () =>
      aim === undefined
        ? undefined
        : { aim: aim.lab, aimSpread: spreadOfKind(kind), trials: [...rounds] },
    [aim, kind, rounds],
  );
  const heard = useVerb(clays, studio, 'try', question);
  const answer = heard.old ? undefined : heard.latest?.answer;
  const balls = answer?.balls ?? [];
  const chosen = typeof nearest === 'number' ? balls[nearest] : undefined;

  const next = () => {
    if (nearest === undefined) return;
    const verdict = { nearest, ...(said.how.length === 0 ? {} : said) };
    setRolled({ of, rounds: [...rounds, { balls: balls.map(({ parts }) => parts), verdict }] });
    setNearest(undefined);
    setSaid(NOTHING_SAID);
  };
  const back = () => {
    setRolled({ of, rounds: rounds.slice(0, -1) });
    setNearest(undefined);
    setSaid(NOTHING_SAID);
  };
  const saved = async (made: RecordOf<'mix'>) => {
    setRolled(NOTHING_ROLLED);
    // The eye called the ball the same as the original: a reading by eye, from which the model learns.
    if (toSave?.same === true && aim !== undefined) {
      const steps = readTileSteps({
        of: { kind: 'mix', id: made.id },
        basis: made.body.basis,
        called: { code: made.body.code, name: titleOfMix(made) },
        tile: undefined,
        state,
        lab: aim.lab,
        readingKind: 'by eye',
        newId,
      });
      await sendChange(
        `Added the test ball of ${titleOfMix(made)} as a reading by eye`,
        steps,
      ).catch((fault: unknown) => showNotice({ text: wordsOf(fault) }));
    }
    await navigate({ to: '/book/$id', params: { id: made.id } });
  };

  return (
    <div className="screen balls">
      <header className="mend-head">
        <h1>Three test balls</h1>
        <span className="soft small">
          Round {rounds.length + 1} of about {Math.max(USUAL_ROUNDS, rounds.length + 1)}
        </span>
        {mix === undefined ? null : (
          <Link to="/book/$id" params={{ id: mix.id }}>
            {titleOfMix(mix)}
          </Link>
        )}
      </header>
      {aim === undefined ? null : (
        <section className="bench across balls-bench" aria-label="Wanted colour and test balls">
          <div className="balls-wanted touching">
            <Tile lab={aim.lab} name="Wanted" />
          </div>
          {answer === undefined ? (
            heard.fault === undefined ? (
              <JobProgress what={heard.latest?.what || 'Choosing test balls'} onStop={heard.stop} />
            ) : (
              <p className="warning lead">{wordsOf(heard.fault)}</p>
            )
          ) : (
            <BallsRow
              clays={clays}
              studio={studio}
              balls={balls}
              nearest={nearest}
              onChoose={(i) => {
                setNearest(i);
                setSaid(NOTHING_SAID);
              }}
            />
          )}
        </section>
      )}
      <div className="mend-columns">
        <section className="stack" aria-label="What you see" aria-live="polite">
          {aim === undefined ? <p className="lead">Choose the colour you want.</p> : null}
          {answer === undefined || aim === undefined ? null : balls.length === 0 ? (
            <Kept answer={answer} onSave={() => setToSave({ ball: answer.best, same: true })} />
          ) : (
            <>
              <h2>Which ball is closest?</h2>
              <p>
                Roll all three and hold them to the original.{' '}
                {nearest === undefined
                  ? 'Press the closest one.'
                  : nearest === 'none'
                    ? 'How do all three look beside the original?'
                    : `How does ball ${LETTERS[nearest]} look beside the original?`}
              </p>
              {nearest === undefined ? (
                <div className="actions">
                  <Button kind="quiet" onPress={() => setNearest('none')}>
                    I cannot choose
                  </Button>
                </div>
              ) : (
                <EyeWords
                  label="How it looks beside the original"
                  value={said}
                  onChange={setSaid}
                />
              )}
              <div className="actions mend-actions">
                <Button kind="main" isDisabled={nearest === undefined} onPress={next}>
                  Next three
                </Button>
                <Button
                  isDisabled={chosen === undefined}
                  onPress={() =>
                    chosen === undefined
                      ? undefined
                      : setToSave({ ball: chosen, same: said.how.includes('same') })
                  }
                >
                  {typeof nearest === 'number'
                    ? `Good enough, save ${LETTERS[nearest]}`
                    : 'Good enough, save it'}
                </Button>
              </div>
              <BestSoFar
                answer={answer}
                onSave={() => setToSave({ ball: answer.best, same: false })}
              />
            </>
          )}
          {rounds.length === 0 ? null : (
            <div className="actions">
              <Button kind="quiet" onPress={back}>
                Back to round {rounds.length}
              </Button>
            </div>
          )}
        </section>
        <Part title="Wanted colour">
          <AimPicker aim={aim} onAim={setAim} alone={aim === undefined} />
          <Pick<ReadingKind>
            label="How well is it known?"
            value={kind}
            onChange={setKind}
            options={[
              ['by eye', 'chosen by eye'],
              ['rough', 'tapped in a photo'],
              ['measured', 'measured, or read from a chart photo'],
            ]}
          />
          <Choice
            label="State of the balls"
            value={state}
            onChange={setState}
            options={[
              ['raw', 'Raw balls'],
              ['baked', 'Baked balls'],
            ]}
          />
          {state === 'baked' ? null : (
            <p className="small soft">
              Raw clay may look different once it is baked. Hold raw balls to a raw original, or
              bake the balls.
            </p>
          )}
        </Part>
      </div>
      {toSave === undefined ? null : (
        <SaveMix
          isOpen
          onClose={() => setToSave(undefined)}
          onSaved={(made) => void saved(made)}
          suggestedName={spokenColour(toSave.ball.shown)}
          body={{
            parts: handOfRecipe(toSave.ball.parts, studio).map(({ blockId, parts }) => ({
              of: { kind: 'block', id: blockId },
              parts,
            })),
            basis: clays.worker.basis,
            status: toSave.same ? 'saved' : 'test',
            ...(mix === undefined ? {} : { cameFromId: mix.id }),
            ...(aim === undefined ? {} : { wanted: wantedOf(aim) }),
          }}
        />
      )}
    </div>
  );
}
