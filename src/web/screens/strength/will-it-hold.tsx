import { useNavigate } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { LABEL_FIRST } from '../../../domain/cautions.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useLocalStorage } from '../../book/local-storage-state.ts';
import { FIRST_REQUEST, isFindRequest } from '../../find/find-request.ts';
import { Button } from '../../parts/button.tsx';
import { Counter } from '../../parts/counter.tsx';
import { Field, Part, Pick } from '../../parts/field.tsx';
import { TenPetals } from './bent.tsx';
import { useHoldSubject } from './hold-subject.ts';
import { FIRST_PART, isPartAsked, numberIn } from './part-asked.ts';
import { questionOfPart, waysBent } from './part-question.ts';
import { useStrength } from './use-strength.ts';

/** Chances that can be asked for, of 10. */
const WANTED = [8, 9] as const;

const PUSHED = 'pushed';

/** Will this part hold? The shape, what it must take, and what the tests say. */
export function WillItHold({
  tests,
  lines,
  strong,
  other,
}: {
  readonly tests: readonly RecordOf<'bend-test'>[];
  readonly lines: ReadonlyMap<string, RecordOf<'line'>>;
  readonly strong: string | undefined;
  readonly other: string | undefined;
}) {
  const [part, setPart] = useLocalStorage('part that must hold', FIRST_PART, isPartAsked);
  const [share, setShare] = useState('');
  const { subject } = useHoldSubject();
  const bends = waysBent(tests);
  const like = bends.find(({ id }) => id === part.like);
  const percent = numberIn(share);
  const results = tests.filter(({ body }) => body.result !== undefined).length;
  const ask = useMemo(() => {
    const question = {
      ...questionOfPart(part, tests),
      ...(percent === undefined ? {} : { share: percent / 100 }),
      // Two lines are named only once a test speaks of them.
      ...(results === 0 || strong === undefined || other === undefined ? {} : { strong, other }),
    };
    return part.shape.trim() === '' ? undefined : ({ verb: 'hold', subject, question } as const);
  }, [part, percent, subject, tests, strong, other, results]);
  const { answer, fault } = useStrength(ask);
  // The label stands with the cautions below.
  const [first, ...others] = (answer?.sentences ?? []).filter((one) => one !== LABEL_FIRST);
  return (
    <Part title="Will this part hold?" look="holding">
      <div className="hold-ask">
        <Field
          label="Part"
          value={part.shape}
          onChange={(shape) => setPart({ ...part, shape })}
          help="rod, strip, petal, pointed petal, coil or tip, with its sizes"
        />
        {bends.length === 0 ? null : (
          <Pick
            label="What it must take"
            value={like?.id ?? PUSHED}
            onChange={(id) => {
              const { like: _, ...rest } = part;
              setPart(id === PUSHED ? rest : { ...rest, like: id });
            }}
            options={[
              [PUSHED, 'a push at its end'] as const,
              ...bends.map(({ id, words }) => [id, `like the test: ${words}`] as const),
            ]}
          />
        )}
        {like === undefined ? (
          <Field
            label="Push at its end, mm"
            value={part.push}
            onChange={(push) => setPart({ ...part, push })}
            inputMode="decimal"
          />
        ) : null}
        <Field
          label={`Share of ${strong ?? 'the strong line'}, %`}
          value={share}
          onChange={setShare}
          inputMode="decimal"
          help="Leave empty for the least share that is enough"
        />
        <Counter
          label="Must hold, of 10"
          value={part.wanted}
          choices={WANTED}
          onChange={(wanted) => setPart({ ...part, wanted })}
        />
      </div>
      {fault === undefined ? null : <p className="warning">{fault}</p>}
      {answer === undefined || fault !== undefined ? null : (
        <div className="hold-answer" aria-live="polite">
          <p className="lead serif">{first}</p>
          {answer.at === undefined ? null : <TenPetals chance={answer.at.chance} />}
          {others.map((sentence) => (
            <p key={sentence}>{sentence}</p>
          ))}
          {answer.least === undefined || answer.pair === undefined ? null : (
            <RuleInFind lines={lines} strong={answer.pair.strong} share={answer.least} />
          )}
          <details>
            <summary>Details</summary>
            <p>
              {answer.part}: a stretch of {(100 * answer.strain).toFixed(2)} % at the surface.{' '}
              {answer.at === undefined
                ? ''
                : `Chance ${answer.at.chance.toFixed(2)}, 95 % between ${answer.at.low.toFixed(2)} and ${answer.at.high.toFixed(2)}.`}
            </p>
            <p>{answer.prior}</p>
          </details>
        </div>
      )}
    </Part>
  );
}

/** Hands the least share to Find, as a rule beside those that are there. */
function RuleInFind({
  lines,
  strong,
  share,
}: {
  readonly lines: ReadonlyMap<string, RecordOf<'line'>>;
  readonly strong: string;
  readonly share: number;
}) {
  const [request, setRequest] = useLocalStorage('find', FIRST_REQUEST, isFindRequest);
  const navigate = useNavigate();
  const line = [...lines.values()].find(({ body }) => body.name === strong);
  if (line === undefined || share === 0) return null;
  const of = `line ${line.id}`;
  const others = (request.atLeast ?? []).filter((one) => one.of !== of);
  return (
    <div className="actions">
      <Button
        kind="main"
        onPress={() => {
          setRequest({ ...request, atLeast: [...others, { of, share }] });
          void navigate({ to: '/find' });
        }}
      >
        Use as a rule in Find
      </Button>
    </div>
  );
}
