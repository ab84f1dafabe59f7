import { useNavigate } from '@tanstack/react-router';
import { useMemo } from 'react';
import type { Lab } from '../../../core/colour/triples.ts';
import { KNOTS } from '../../../core/strength/strength-terms.ts';
import { sharesByLine } from '../../../domain/handling-notes.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useLocalStorage } from '../../book/local-storage-state.ts';
import { useAll } from '../../book/queries.ts';
import { labInAddress } from '../../colour/lab-in-address.ts';
import { FIRST_REQUEST, isFindRequest } from '../../find/find-request.ts';
import { Button } from '../../parts/button.tsx';
import { useHoldSubject } from '../strength/hold-subject.ts';
import { FIRST_PART, isPartAsked } from '../strength/part-asked.ts';
import { questionOfPart } from '../strength/part-question.ts';
import { useStrength } from '../strength/use-strength.ts';

/** The same colour, stronger: Find with the colour of a mix, and the share of the strong line that its part needs. */
export function Stronger({
  mix,
  lab,
  title,
}: {
  readonly mix: RecordOf<'mix'>;
  readonly lab: Lab;
  readonly title: string;
}) {
  const tests = useAll('bend-test');
  return tests.records.some(({ body }) => body.result !== undefined) ? (
    <FromTests mix={mix} lab={lab} title={title} tests={tests.records} />
  ) : null;
}

function FromTests({
  mix,
  lab,
  title,
  tests,
}: Parameters<typeof Stronger>[0] & { readonly tests: readonly RecordOf<'bend-test'>[] }) {
  const blocks = useAll('block');
  const lines = useAll('line');
  const mixes = useAll('mix');
  const { subject, isPending } = useHoldSubject();
  const [part] = useLocalStorage('part that must hold', FIRST_PART, isPartAsked);
  const [request, setRequest] = useLocalStorage('find', FIRST_REQUEST, isFindRequest);
  const navigate = useNavigate();
  const ask = useMemo(
    () =>
      isPending
        ? undefined
        : ({ verb: 'hold', subject, question: questionOfPart(part, tests) } as const),
    [isPending, subject, part, tests],
  );
  const { answer } = useStrength(ask);
  const strong = answer?.pair?.strong;
  const line = lines.records.find(({ body }) => body.name === strong);
  const now = useMemo(
    () =>
      sharesByLine({ blocks: blocks.records, lines: lines.records, mixes: mixes.records })(
        mix.id,
      ).find((one) => one.line === strong)?.share ?? 0,
    [blocks.records, lines.records, mixes.records, mix.id, strong],
  );
  if (answer === undefined || line === undefined) return null;
  const { least } = answer;
  if (least !== undefined && now >= least) {
    return (
      <p className="soft small">
        {percent(now)} % {strong}: enough for {part.shape} by your bend tests.
      </p>
    );
  }
  // Without a proven share, the next step up is worth a test.
  const share = least ?? KNOTS.find((knot) => knot > now + 0.01);
  if (share === undefined) return null;
  const of = `line ${line.id}`;
  return (
    <div className="stronger">
      <Button
        onPress={() => {
          const others = (request.atLeast ?? []).filter((one) => one.of !== of);
          setRequest({ ...request, atLeast: [...others, { of, share }] });
          void navigate({ to: '/find', search: { aim: labInAddress(lab), called: title } });
        }}
      >
        The same colour, stronger
      </Button>
      <p className="soft small">
        At least {percent(share)} % {strong} instead of {percent(now)} %
        {least === undefined
          ? '. No share is proven yet: bend strips of it.'
          : `, for ${part.shape}, ${part.wanted} in 10.`}
      </p>
    </div>
  );
}

function percent(share: number): number {
  return Math.round(100 * share);
}
