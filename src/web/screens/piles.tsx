import '../look/lump.css';
import './piles/piles.css';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { VERDICT_LIMITS, verdictLimit } from '../../core/verdict/verdict.ts';
import { verdictHead } from '../../core/verdict/verdict-in-words.ts';
import { change } from '../../domain/changes/steps.ts';
import type { BuyOrMixAnswer } from '../../verbs/buy-or-mix-question.ts';
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
import { FussySlider } from './piles/fussy-slider.tsx';
import { MixPile } from './piles/mix-pile.tsx';
import { type PilesSoFar, pilesAt } from './piles/piles-at.ts';
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
  const [tolerance, setTolerance] = useState(verdictLimit('close'));
  const [goal, setGoal] = useState<BuyOrMixAnswer['goal']>('fewest');
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
  /** The question for every closeness. */
  const base = useMemo(
    () => ({
      frontier: true,
      goal,
      stock: studio.stock,
      goodEnough,
      ...(line === undefined ? {} : { lines: [line.name] }),
      ...(grams === undefined ? {} : { grams }),
    }),
    [goal, line, grams, studio.stock, goodEnough],
  );
  const question = useMemo(() => ({ ...base, tolerance }), [base, tolerance]);
  const heard = useVerb(clays, studio, 'buy-or-mix', question);
  const latest = heard.latest?.answer;
  const [known, setKnown] = useState<{ of: typeof base; answer: BuyOrMixAnswer } | undefined>();
  if (latest !== undefined && !heard.old && (known?.answer !== latest || known.of !== base)) {
    setKnown({ of: base, answer: latest });
  }
  const points = known?.of === base ? known.answer.frontier : [];
  const point = points.find(({ from }) => from <= tolerance);
  const isOpen = latest === undefined || heard.old;
  // Reasons and chances follow; which blocks are bought is known for every closeness already.
  const quick =
    isOpen && known !== undefined && point !== undefined ? pilesAt(known.answer, point) : undefined;
  const answer = quick ?? latest;
  const isOld = heard.old && quick === undefined;
  const pin = (name: string, to: 'always' | 'never' | undefined) => {
    const block = blocks.byId.get(studio.byName.get(name)?.blockId ?? '');
    if (block === undefined) return;
    if (to !== undefined) return setPinning({ block, name, to });
    const { buying: _, ...body } = block.body;
    void sendChange(`No longer decided: whether to buy ${name}`, [change(block, body)]);
  };
  const countAt = (limit: number) => {
    const at = points.find(({ from }) => from <= limit);
    return at === undefined ? '' : `: buy ${at.buy.length}`;
  };
  return (
    <div className="screen piles" data-old={isOld}>
      <header className="head-line">
        <h1>
          {line?.name ?? 'All lines'}
          {answer === undefined || isOld
            ? ': buy or mix'
            : `: buy ${answer.buy.length}, mix ${answer.mix.length}`}
        </h1>
        <div className="actions">
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
        <div className="fussy">
          <Choice
            isLabelled
            label="How close a mix must come"
            value={String(tolerance)}
            onChange={(limit) => setTolerance(Number(limit))}
            options={VERDICT_LIMITS.map(
              ([word, limit]) =>
                [
                  String(limit),
                  `${verdictHead(word)}${countAt(limit)}`,
                  verdictHead(word),
                ] as const,
            )}
          />
          <FussySlider points={points} tolerance={tolerance} onChange={setTolerance} />
        </div>
        {studio.stock.every(({ currency }) => currency === undefined) ? null : (
          <Choice
            isLabelled
            label="Best piles"
            value={goal}
            onChange={setGoal}
            options={[
              ['fewest', 'Fewest blocks'],
              ['cheapest', 'Cheapest'],
            ]}
          />
        )}
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
      {heard.fault === undefined && isOpen ? (
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
          <section className="piles-end" aria-label="In short">
            <p className="lead">{summaryOf(answer, grams, studio.currency)}</p>
            {answer.notes.map((note) => (
              <p key={note}>{note}</p>
            ))}
            <p className="actions">
              <Link
                className="button"
                data-kind="main"
                to="/buying"
                search={line === undefined ? {} : { for: line.id }}
              >
                Make the buying list
              </Link>
            </p>
          </section>
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
  { buy, goal, proven, saves }: PilesSoFar,
  grams: number | undefined,
  currency: string | undefined,
): string {
  const whole = proven
    ? `No ${goal === 'fewest' ? 'smaller' : 'cheaper'} set of blocks does this.`
    : `This was stopped early: perhaps ${goal === 'fewest' ? 'fewer' : 'cheaper'} blocks would do.`;
  const money =
    saves === undefined || currency === undefined || grams === undefined
      ? ''
      : saves >= 0
        ? ` With ${grams} g of each, mixing saves ${moneyInWords({ minor: saves, currency })}.`
        : ` With ${grams} g of each, mixing costs ${moneyInWords({ minor: -saves, currency })} more.`;
  return `Every mix here uses only the ${buy.length === 1 ? 'block' : `${buy.length} blocks`} you buy. ${whole}${money}`;
}
