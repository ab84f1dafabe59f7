import { useNavigate } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { LABEL_FIRST } from '../../../domain/cautions.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import type { HoldSubject } from '../../../verbs/hold.ts';
import { useLocalStorage } from '../../book/local-storage-state.ts';
import { FIRST_REQUEST, isFindRequest } from '../../find/find-request.ts';
import { Button } from '../../parts/button.tsx';
import { Counter } from '../../parts/counter.tsx';
import { Field, Part } from '../../parts/field.tsx';
import { TenPetals } from './bent.tsx';
import { useStrength } from './use-strength.ts';

/** Chances that can be asked for, of 10. */
const WANTED = [8, 9] as const;

/** Will this part hold? The shape, how far it is pushed, and what the tests say. */
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
  const [shape, setShape] = useState('petal 1.2 x 10 x 20 mm');
  const [push, setPush] = useState('3');
  const [share, setShare] = useState('');
  const [wanted, setWanted] = useState<number>(9);
  const subject = useMemo<HoldSubject>(
    () => ({
      tests: tests.map(({ body }) => {
        const second = lines.get(body.otherLineId ?? '')?.body.name;
        return {
          strong: lines.get(body.strongLineId)?.body.name ?? body.strongLineId,
          ...(second === undefined ? {} : { other: second }),
          body,
        };
      }),
    }),
    [tests, lines],
  );
  const far = numberIn(push);
  const percent = numberIn(share);
  const results = tests.filter(({ body }) => body.result !== undefined).length;
  const ask = useMemo(() => {
    const question = {
      shape,
      wanted: wanted / 10,
      ...(far === undefined ? {} : { push: far }),
      ...(percent === undefined ? {} : { share: percent / 100 }),
      // Two lines are named only once a test speaks of them.
      ...(results === 0 || strong === undefined || other === undefined ? {} : { strong, other }),
    };
    return shape.trim() === '' ? undefined : ({ verb: 'hold', subject, question } as const);
  }, [shape, far, percent, wanted, subject, strong, other, results]);
  const { answer, fault } = useStrength(ask);
  // The label stands with the cautions below.
  const [first, ...others] = (answer?.sentences ?? []).filter((one) => one !== LABEL_FIRST);
  return (
    <Part title="Will this part hold?" look="holding">
      <div className="hold-ask">
        <Field
          label="Part"
          value={shape}
          onChange={setShape}
          help="rod, strip, petal, pointed petal, coil or tip, with its sizes"
        />
        <Field label="Push at its end, mm" value={push} onChange={setPush} inputMode="decimal" />
        <Field
          label={`Share of ${strong ?? 'the strong line'}, %`}
          value={share}
          onChange={setShare}
          inputMode="decimal"
          help="Leave empty for the least share that is enough"
        />
        <Counter label="Must hold, of 10" value={wanted} choices={WANTED} onChange={setWanted} />
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

function numberIn(text: string): number | undefined {
  const value = Number(text.trim().replace(',', '.'));
  return text.trim() === '' || !Number.isFinite(value) ? undefined : value;
}
