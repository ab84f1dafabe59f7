import { Link } from '@tanstack/react-router';
import { type ReactNode, useMemo } from 'react';
import type { StockRow } from '../../../core/find/known-clays.ts';
import { needsOfFigure } from '../../../domain/figure-question.ts';
import { mixesInUse } from '../../../domain/mixes-in-use.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { coloursOfPlan } from '../../../verbs/colours-of-plan.ts';
import { wordsOf } from '../../book/change.ts';
import type { OpenClays } from '../../book/clays.ts';
import { useAll } from '../../book/queries.ts';
import { useVerb } from '../../book/use-verb.ts';
import type { Studio } from '../../find/studio.ts';
import { EmptyState } from '../../parts/empty-state.tsx';
import { JobProgress } from '../../parts/job-progress.tsx';
import type { QuestionTo } from '../../workers/asked-verbs.ts';
import { useFigureMixes } from '../figure/use-figure-mixes.ts';

/** What a buying list is for. */
export interface Wanted {
  readonly id: string;
  readonly title: string;
  readonly asked: Pick<QuestionTo<'buying-list'>, 'aims' | 'called' | 'plan'>;
  readonly stock: readonly StockRow[];
}

/** What a list for every saved mix is called in an address. */
export const EVERY_MIX = 'mixes';

type Children = (wanted: Wanted) => ReactNode;

/** The colours of a palette. */
export function OfPalette({
  palette: { id, body },
  studio: { stock },
  children,
}: {
  readonly palette: RecordOf<'palette'>;
  readonly studio: Studio;
  readonly children: Children;
}) {
  const wanted = useMemo(
    () => ({
      id,
      title: body.name,
      asked: {
        aims: body.aims.map(({ lab }) => lab),
        called: body.aims.map(({ name }, at) => name ?? `Colour ${at + 1}`),
      },
      stock,
    }),
    [id, body, stock],
  );
  return children(wanted);
}

/** Every colour of a line. */
export function OfLine({
  line: { id, name },
  studio,
  children,
}: {
  readonly line: Studio['lines'][number];
  readonly studio: Studio;
  readonly children: Children;
}) {
  const wanted = useMemo(() => {
    const own = studio.clays.filter(({ lineId }) => lineId === id).map((clay) => clay.name);
    return { id, title: name, asked: { aims: own, called: own }, stock: studio.stock };
  }, [id, name, studio]);
  return children(wanted);
}

/** More colours than a question takes. */
const MOST_MIXES = 200;

/** Every mix in use, the newest where there are very many. The amounts are those of the list. */
export function OfMixes(opened: Opened) {
  const mixes = useAll('mix');
  const figure = useMemo(() => {
    const oldestFirst = mixesInUse(mixes.records).toSorted((a, b) =>
      a.createdAt < b.createdAt ? -1 : a.createdAt > b.createdAt ? 1 : 0,
    );
    const shapes = oldestFirst.slice(-MOST_MIXES).map(({ id }) => ({
      count: 1,
      shape: { form: 'amount' as const, massG: 1 },
      of: { kind: 'mix' as const, id },
    }));
    return { id: EVERY_MIX, body: { name: 'Saved mixes', batches: [], plan: { shapes } } };
  }, [mixes.records]);
  if (mixes.isPending) return <JobProgress what="Loading the mixes" />;
  if (figure.body.plan.shapes.length === 0) {
    return <NoColours title="No mix is saved yet">Find a recipe and save it first.</NoColours>;
  }
  return (
    <OfFigure figure={figure} studio={opened.studio}>
      {(planned) => <ColoursAlone planned={planned} {...opened} />}
    </OfFigure>
  );
}

interface Opened {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly children: Children;
}

/** The colours of a figure that are not mixed yet, in the amounts that its shapes need. */
export function OfFigure({
  figure: { id, body },
  studio,
  children,
}: Omit<Opened, 'clays'> & {
  readonly figure: {
    readonly id: string;
    readonly body: Pick<RecordOf<'figure'>['body'], 'name' | 'plan' | 'batches'>;
  };
}) {
  const mixes = useFigureMixes({ body }, studio);
  const wanted = useMemo(
    () =>
      mixes && {
        id,
        title: body.name,
        asked: { plan: needsOfFigure(body, mixes) },
        stock: mixes.stock,
      },
    [id, body, mixes],
  );
  return wanted === undefined ? <JobProgress what="Loading the mixes" /> : children(wanted);
}

/** The colours of a figure without its amounts. */
function ColoursAlone({
  planned: { id, title, asked, stock },
  clays,
  studio,
  children,
}: Opened & { readonly planned: Wanted }) {
  const question = useMemo(() => ({ ...asked.plan, stock: [...stock] }), [asked, stock]);
  const { latest, fault } = useVerb(clays, studio, 'figure', question);
  const answer = latest?.answer;
  const wanted = useMemo(() => {
    if (answer === undefined) return undefined;
    const { colours } = coloursOfPlan(answer);
    const aims = colours.map(({ lab }) => lab);
    return { id, title, asked: { aims, called: colours.map(({ colour }) => colour) }, stock };
  }, [id, title, stock, answer]);
  if (fault !== undefined) return <p className="warning lead">{wordsOf(fault)}</p>;
  if (wanted === undefined) return <JobProgress what="Planning the mixes" />;
  if (wanted.asked.aims.length === 0) {
    return (
      <NoColours title="No saved mix has a colour yet">
        The clay model does not know the clays in your mixes. Find a recipe with the clays it knows,
        or bake a tile of each clay in your mixes.
      </NoColours>
    );
  }
  return children(wanted);
}

function NoColours({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  return (
    <EmptyState
      whole
      title={title}
      actions={
        <>
          <Link className="button" data-kind="main" to="/find">
            Find a recipe
          </Link>
          <Link className="button" data-kind="quiet" to="/buying">
            Back to the buying list
          </Link>
        </>
      }
    >
      {children}
    </EmptyState>
  );
}
