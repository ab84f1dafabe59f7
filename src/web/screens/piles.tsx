import '../look/lump.css';
import './piles/piles.css';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { VERDICT_LIMITS, type VerdictWord } from '../../core/verdict/verdict.ts';
import { verdictHead } from '../../core/verdict/verdict-in-words.ts';
import { change } from '../../domain/changes/steps.ts';
import type { BuyOrMixAnswer } from '../../verbs/buy-or-mix.ts';
import { sendChange, wordsOf } from '../book/change.ts';
import type { OpenClays } from '../book/clays.ts';
import { useAll } from '../book/queries.ts';
import { useVerb } from '../book/use-verb.ts';
import type { Studio } from '../find/studio.ts';
import { StudioGate } from '../find/studio-gate.tsx';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Field } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { BuyPile } from './piles/buy-pile.tsx';
import { MixPile } from './piles/mix-pile.tsx';
import { PinBlock, type Pinning } from './piles/pin-block.tsx';
import type { Pins } from './piles/pins.ts';
import { useGoodEnough } from './piles/use-good-enough.ts';
import { moneyInWords } from './stock/money.ts';

/** Which blocks must I buy, and which can I mix? */
export function PilesScreen() {
  return <StudioGate>{(clays, studio) => <PilesOf clays={clays} studio={studio} />}</StudioGate>;
}

/** All lines together. */
const ALL = 'all';

function PilesOf({ clays, studio }: { readonly clays: OpenClays; readonly studio: Studio }) {
  const { line: asked } = useSearch({ strict: false });
  const navigate = useNavigate();
  const [fussy, setFussy] = useState<VerdictWord>('close');
  const [pinning, setPinning] = useState<Pinning | undefined>();
  const blocks = useAll('block');
  const goodEnough = useGoodEnough(studio);
  const pins = useMemo<Pins>(
    () =>
      new Map(
        studio.clays.flatMap(({ name, buying }) =>
          buying === undefined ? [] : [[name, buying.choice]],
        ),
      ),
    [studio.clays],
  );
  const [typed, setTyped] = useState('');
  const grams = gramsFrom(typed);
  const lines = studio.lines.filter(
    ({ id }) => studio.clays.filter(({ lineId }) => lineId === id).length > 1,
  );
  const line = lines.find(({ id }) => id === asked) ?? (asked === ALL ? undefined : lines[0]);
  const tolerance = VERDICT_LIMITS.find(([word]) => word === fussy)?.[1] ?? VERDICT_LIMITS[0][1];
  const question = useMemo(() => {
    return {
      tolerance,
      frontier: true,
      stock: studio.stock,
      goodEnough,
      ...(line === undefined ? {} : { lines: [line.name] }),
      ...(grams === undefined ? {} : { grams }),
    };
  }, [tolerance, line, grams, studio.stock, goodEnough]);
  const heard = useVerb(clays, studio, 'buy-or-mix', question);
  const answer = heard.latest?.answer;
  const pin = (name: string, to: 'always' | 'never' | undefined) => {
    const block = blocks.byId.get(studio.byName.get(name)?.blockId ?? '');
    if (block === undefined) return;
    if (to !== undefined) return setPinning({ block, name, to });
    const { buying: _, ...body } = block.body;
    void sendChange(`No longer decided: whether to buy ${name}`, [change(block, body)]);
  };
  const countAt = (limit: number) => {
    const point = heard.old ? undefined : answer?.frontier.find(({ from }) => from <= limit);
    return point === undefined ? '' : `: buy ${point.buy.length}`;
  };
  return (
    <div className="screen piles" data-old={heard.old}>
      <header className="head-line">
        <h1>
          {line?.name ?? 'All lines'}
          {answer === undefined || heard.old
            ? ': buy or mix'
            : `: buy ${answer.buy.length}, mix ${answer.mix.length}`}
        </h1>
        <div className="actions">
          <Link to="/buying">Buying list</Link>
          <Link to="/stock">Stock</Link>
          <Button isDisabled={answer === undefined} onPress={() => window.print()}>
            Print
          </Button>
        </div>
      </header>
      <div className="piles-ask">
        <Choice
          isLabelled
          label="Line"
          value={line?.id ?? ALL}
          onChange={(next) => void navigate({ to: '/buy-or-mix', search: { line: next } })}
          options={[...lines.map(({ id, name }) => [id, name] as const), [ALL, 'All lines']]}
        />
        <Choice
          isLabelled
          label="How close a mix must come"
          value={fussy}
          onChange={setFussy}
          options={VERDICT_LIMITS.map(
            ([word, limit]) =>
              [word, `${verdictHead(word)}${countAt(limit)}`, verdictHead(word)] as const,
          )}
        />
        <Field
          label="Grams of each colour in a season"
          inputMode="decimal"
          value={typed}
          onChange={setTyped}
          {...(typed.trim() === '' || grams !== undefined
            ? {}
            : { no: 'A number from 1 to 100,000.' })}
        />
      </div>
      {heard.fault === undefined ? null : <p className="warning lead">{wordsOf(heard.fault)}</p>}
      {heard.fault === undefined && (answer === undefined || heard.old) ? (
        <JobProgress what={heard.latest?.what ?? 'Looking at every recipe'} onStop={heard.stop} />
      ) : null}
      {answer === undefined ? (
        heard.fault === undefined ? null : (
          <EmptyState title="No piles yet" actions={<Link to="/stock">Stock</Link>}>
            Two piles need at least two blocks of one line whose colours are known.
          </EmptyState>
        )
      ) : (
        <>
          <BuyPile answer={answer} studio={studio} pins={pins} onPin={pin} />
          <MixPile answer={answer} clays={clays} studio={studio} onPin={pin} />
          <p className="lead">{summaryOf(answer, grams, studio.currency)}</p>
        </>
      )}
      {pinning === undefined ? null : (
        <PinBlock {...pinning} onClose={() => setPinning(undefined)} />
      )}
    </div>
  );
}

/** Grams as they are typed; undefined where they are no amount. */
function gramsFrom(typed: string): number | undefined {
  const value = Number(typed.trim().replace(',', '.'));
  return typed.trim() !== '' && value >= 1 && value <= 100_000 ? value : undefined;
}

function summaryOf(
  { buy, proven, saves }: BuyOrMixAnswer,
  grams: number | undefined,
  currency: string | undefined,
): string {
  const whole = proven
    ? 'No smaller set of blocks does this.'
    : 'This was stopped early: perhaps fewer blocks would do.';
  const money =
    saves === undefined || currency === undefined || grams === undefined
      ? ''
      : saves >= 0
        ? ` With ${grams} g of each, mixing saves ${moneyInWords({ minor: saves, currency })}.`
        : ` With ${grams} g of each, mixing costs ${moneyInWords({ minor: -saves, currency })} more.`;
  return `Every mix here uses only the ${buy.length === 1 ? 'block' : `${buy.length} blocks`} you buy. ${whole}${money}`;
}
