import { moneyFrom } from '../../domain/money.ts';
import '../look/lump.css';
import './piles/piles.css';
import './buying/buying.css';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { WIDE_GAP } from '../../core/buying/shopping-asked.ts';
import { VERDICT_LIMITS, type VerdictWord } from '../../core/verdict/verdict.ts';
import { verdictHead } from '../../core/verdict/verdict-in-words.ts';
import { wordsOf } from '../book/change.ts';
import type { OpenClays } from '../book/clays.ts';
import { useAll } from '../book/queries.ts';
import { useVerb } from '../book/use-verb.ts';
import type { Studio } from '../find/studio.ts';
import { StudioGate } from '../find/studio-gate.tsx';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Field, Pick } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { BoughtColours } from './buying/bought-colours.tsx';
import { BoughtPackagesList } from './buying/bought-packages.tsx';
import { CostPicture } from './buying/cost-picture.tsx';
import { ListSummary } from './buying/list-summary.tsx';
import { EVERY_MIX, OfFigure, OfLine, OfMixes, OfPalette, type Wanted } from './buying/wanted.tsx';
import { count } from './count.ts';

/** What do I buy for these colours? */
export function Buying() {
  const palettes = useAll('palette');
  const figures = useAll('figure');
  const { for: asked } = useSearch({ strict: false });
  if (palettes.isPending || figures.isPending) return <JobProgress what="Loading your palettes" />;
  const filled = palettes.records.filter(({ body }) => body.aims.length > 0);
  const planned = figures.records.filter(({ body }) => (body.plan?.shapes.length ?? 0) > 0);
  const all = [...filled, ...planned];
  return (
    <StudioGate>
      {(clays, studio) => {
        const line = studio.lines.find(({ id }) => id === asked);
        const first = all.find(({ id }) => id === asked) ?? all[0];
        const choices = [
          ...all.map(
            ({ id, kind, body }) =>
              [id, kind === 'figure' ? `Figure: ${body.name}` : body.name] as const,
          ),
          [EVERY_MIX, 'Every saved mix'] as const,
          ...studio.lines.map(({ id, name }) => [id, `Every colour of ${name}`] as const),
        ];
        const listFor = (wanted: Wanted) => (
          <BuyingOf wanted={wanted} choices={choices} clays={clays} studio={studio} />
        );
        if (line !== undefined) {
          return (
            <OfLine line={line} studio={studio}>
              {listFor}
            </OfLine>
          );
        }
        if (asked === EVERY_MIX) {
          return (
            <OfMixes clays={clays} studio={studio}>
              {listFor}
            </OfMixes>
          );
        }
        if (first === undefined) return <NothingWanted />;
        return first.kind === 'figure' ? (
          <OfFigure figure={first} studio={studio}>
            {listFor}
          </OfFigure>
        ) : (
          <OfPalette palette={first} studio={studio}>
            {listFor}
          </OfPalette>
        );
      }}
    </StudioGate>
  );
}

function NothingWanted() {
  return (
    <EmptyState
      whole
      title="Which colours do you want?"
      actions={
        <>
          <Link className="button" data-kind="main" to="/stock" search={{ view: 'figures' }}>
            Add a palette
          </Link>
          <Link className="button" data-kind="quiet" to="/buying" search={{ for: EVERY_MIX }}>
            Every saved mix
          </Link>
        </>
      }
    >
      A buying list is for the colours of a palette, of a planned figure, or of your saved mixes: a
      season, a commission, a class.
    </EmptyState>
  );
}

/** With more colours the list is not compared with other closenesses: that takes too long. */
const MOST_COMPARED = 24;

type Goal = 'cheapest' | 'fewest';
type MostLines = 'any' | '1' | '2';

function BuyingOf({
  wanted,
  choices,
  clays,
  studio,
}: {
  readonly wanted: Wanted;
  readonly choices: readonly (readonly [string, string])[];
  readonly clays: OpenClays;
  readonly studio: Studio;
}) {
  const navigate = useNavigate();
  const [typedGrams, setTypedGrams] = useState('30');
  const [typedBudget, setTypedBudget] = useState('');
  const [typedWaste, setTypedWaste] = useState('');
  const [close, setClose] = useState<VerdictWord>('close');
  const [goal, setGoal] = useState<Goal>('cheapest');
  const [fresh, setFresh] = useState<'stock' | 'nothing'>('stock');
  const [mostLines, setMostLines] = useState<MostLines>('any');
  const [never, setNever] = useState<readonly string[]>([]);
  const [neverLines, setNeverLines] = useState<readonly string[]>([]);
  const grams = amountFrom(typedGrams);
  const waste = typedWaste.trim() === '' ? 0 : shareFrom(typedWaste);
  const budget =
    studio.currency === undefined ? undefined : moneyFrom(typedBudget, studio.currency);
  const budgetMinor = budget?.minor;
  const tolerance = VERDICT_LIMITS.find(([word]) => word === close)?.[1] ?? VERDICT_LIMITS[0][1];
  const { plan } = wanted.asked;
  const asked = useMemo(
    () =>
      grams === undefined || waste === undefined
        ? undefined
        : {
            ...wanted.asked,
            grams,
            waste,
            tolerance,
            goal,
            stock:
              fresh === 'stock'
                ? [...wanted.stock]
                : wanted.stock.map(({ onHandG: _, ...row }) => row),
            ...(mostLines === 'any' ? {} : { mostLines: Number(mostLines) }),
            ...(budgetMinor === undefined ? {} : { budgetMinor }),
            ...(never.length === 0 ? {} : { never: [...never] }),
            ...(neverLines.length === 0 ? {} : { neverLines: [...neverLines] }),
          },
    [wanted, grams, waste, tolerance, goal, fresh, mostLines, budgetMinor, never, neverLines],
  );
  /** The question for which a cheaper list is looked for longer; another question starts quickly again. */
  const [longer, setLonger] = useState<typeof asked>();
  const question = useMemo(
    () => (asked !== undefined && asked === longer ? { ...asked, thorough: true } : asked),
    [asked, longer],
  );
  const heard = useVerb(clays, studio, 'buying-list', question);
  const answer = heard.latest?.answer;
  const isAnswered = answer !== undefined && !heard.old;
  // The list is shown first; what the others cost follows.
  const isFew = answer !== undefined && answer.colours.length <= MOST_COMPARED;
  const compared = useMemo(
    () => (asked === undefined || !isFew ? undefined : { ...asked, frontier: true }),
    [asked, isFew],
  );
  const others = useVerb(clays, studio, 'buying-list', isAnswered ? compared : undefined);
  const title =
    answer === undefined || heard.old
      ? `${wanted.title}: what to buy`
      : `${wanted.title}: ${answer.packages === 0 ? 'nothing to buy' : `buy ${count(answer.packages, 'package')}`}`;
  return (
    <div className="screen piles buying" data-old={heard.old}>
      <header className="head-line">
        <h1>{title}</h1>
        <div className="actions">
          <Link to="/buy-or-mix">Buy or mix</Link>
          <Button isDisabled={answer === undefined} onPress={() => window.print()}>
            Print
          </Button>
        </div>
      </header>
      <div className="piles-ask">
        <Pick
          label="Colours for"
          value={wanted.id}
          onChange={(next) => void navigate({ to: '/buying', search: { for: next } })}
          options={choices}
        />
        {plan === undefined ? (
          <Field
            label="Grams of each colour"
            inputMode="decimal"
            value={typedGrams}
            onChange={setTypedGrams}
            {...(grams === undefined ? { no: 'A number from 1 to 100,000.' } : {})}
          />
        ) : null}
        <Choice
          isLabelled
          label="How close a mix must come"
          value={close}
          onChange={setClose}
          options={VERDICT_LIMITS.map(([word]) => [word, verdictHead(word)] as const)}
        />
      </div>
      <details className="piles-more">
        <summary>More choices</summary>
        <div className="piles-ask">
          {plan === undefined ? (
            <Field
              label="Lost in the work, %"
              inputMode="decimal"
              value={typedWaste}
              onChange={setTypedWaste}
              placeholder="0"
              {...(waste === undefined ? { no: 'A number from 0 to 90.' } : {})}
            />
          ) : null}
          <Choice
            isLabelled
            label="Best list"
            value={goal}
            onChange={setGoal}
            options={[
              ['cheapest', 'Cheapest'],
              ['fewest', 'Fewest packages'],
            ]}
          />
          <Choice
            isLabelled
            label="Begin with"
            value={fresh}
            onChange={setFresh}
            options={[
              ['stock', 'What I have'],
              ['nothing', 'Nothing'],
            ]}
          />
          {studio.lines.length < 2 ? null : (
            <Choice
              isLabelled
              label="Buy from"
              value={mostLines}
              onChange={setMostLines}
              options={[
                ['any', 'Any lines'],
                ['1', 'One line'],
                ['2', 'Two lines'],
              ]}
            />
          )}
          {studio.currency === undefined ? null : (
            <Field
              label={`At most, ${studio.currency}`}
              inputMode="decimal"
              value={typedBudget}
              onChange={setTypedBudget}
              {...(typedBudget.trim() === '' || budget !== undefined
                ? {}
                : { no: 'An amount like 40 or 25.50.' })}
            />
          )}
        </div>
      </details>
      {heard.fault === undefined ? null : <p className="warning lead">{wordsOf(heard.fault)}</p>}
      {question !== undefined &&
      heard.fault === undefined &&
      (answer === undefined || heard.old) ? (
        <JobProgress what={heard.latest?.what ?? 'Looking at every recipe'} onStop={heard.stop} />
      ) : null}
      {answer === undefined ? null : (
        <>
          <BoughtPackagesList
            answer={answer}
            never={never}
            neverLines={neverLines}
            onNever={(clay) => setNever([...never, clay])}
            onAgain={(clay) => setNever(never.filter((name) => name !== clay))}
            onNeverLine={(line) => setNeverLines([...neverLines, line])}
            onLineAgain={(line) => setNeverLines(neverLines.filter((name) => name !== line))}
          />
          {others.latest?.answer === undefined ? null : (
            <CostPicture answer={others.latest.answer} chosen={close} onChoose={setClose} />
          )}
          {answer.colours.length === 0 ? null : (
            <BoughtColours answer={answer} clays={clays} studio={studio} />
          )}
          <ListSummary answer={answer} />
          {answer.gap > WIDE_GAP && question === asked && budgetMinor === undefined ? (
            <div className="actions">
              <Button onPress={() => setLonger(asked)}>Look longer for a cheaper list</Button>
            </div>
          ) : null}
        </>
      )}
    </div>
  );
}

/** Of a per cent. */
function shareFrom(typed: string): number | undefined {
  const value = Number(typed.trim().replace(',', '.'));
  return value >= 0 && value <= 90 ? value / 100 : undefined;
}

function amountFrom(typed: string): number | undefined {
  const value = Number(typed.trim().replace(',', '.'));
  return typed.trim() !== '' && value >= 1 && value <= 100_000 ? value : undefined;
}
