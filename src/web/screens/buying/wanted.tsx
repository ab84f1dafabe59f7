import { type ReactNode, useMemo } from 'react';
import type { Lab } from '../../../core/colour/triples.ts';
import { questionOfFigure } from '../../../domain/figure-question.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { wordsOf } from '../../book/change.ts';
import type { OpenClays } from '../../book/clays.ts';
import { useAll } from '../../book/queries.ts';
import { useVerb } from '../../book/use-verb.ts';
import type { Studio } from '../../find/studio.ts';
import { JobProgress } from '../../parts/job-progress.tsx';
import { type FigureMixes, useFigureMixes } from '../figure/use-figure-mixes.ts';

/** Colours that a buying list is for. */
export interface Wanted {
  readonly id: string;
  readonly title: string;
  readonly aims: readonly (Lab | string)[];
  readonly called: readonly string[];
  /** Of each colour, where they are known. */
  readonly gramsEach?: readonly number[];
}

/** What a list for every saved mix is called in an address. */
export const EVERY_MIX = 'mixes';

type Children = (wanted: Wanted) => ReactNode;

/** The colours of a palette. */
export function OfPalette({
  palette: { id, body },
  children,
}: {
  readonly palette: RecordOf<'palette'>;
  readonly children: Children;
}) {
  const wanted = useMemo(
    () => ({
      id,
      title: body.name,
      aims: body.aims.map(({ lab }) => lab),
      called: body.aims.map(({ name }, at) => name ?? `Colour ${at + 1}`),
    }),
    [id, body],
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
    const own = studio.clays.filter(({ lineId }) => lineId === id);
    return {
      id,
      title: name,
      aims: own.map((one) => one.name),
      called: own.map((one) => one.name),
    };
  }, [id, name, studio.clays]);
  return children(wanted);
}

/** More colours than a question takes. */
const MOST_MIXES = 200;

/** Every saved mix, the newest where there are very many. */
export function OfMixes(opened: Omit<Opened, 'figure'>) {
  const mixes = useAll('mix');
  const figure = useMemo(() => {
    const saved = mixes.records.filter(({ body }) => body.status === 'saved');
    const shapes = saved.slice(-MOST_MIXES).map(({ id }) => ({
      count: 1,
      shape: { form: 'amount' as const, massG: 1 },
      of: { kind: 'mix' as const, id },
    }));
    return { id: EVERY_MIX, body: { name: 'Saved mixes', batches: [], plan: { shapes } } };
  }, [mixes.records]);
  if (mixes.isPending) return <JobProgress what="Loading the mixes" />;
  if (figure.body.plan.shapes.length === 0) return <p className="lead">No mix is saved yet.</p>;
  const { children, ...rest } = opened;
  return (
    // The amounts are those of the list.
    <OfFigure figure={figure} {...rest}>
      {({ gramsEach: _, ...wanted }) => children(wanted)}
    </OfFigure>
  );
}

interface Opened {
  readonly figure: {
    readonly id: string;
    readonly body: Pick<RecordOf<'figure'>['body'], 'name' | 'plan' | 'batches'>;
  };
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly children: Children;
}

/** The colours of a planned figure that are not mixed yet, with the grams that its shapes need. */
export function OfFigure({ figure, ...rest }: Opened) {
  const mixes = useFigureMixes(figure, rest.studio);
  if (mixes === undefined) return <JobProgress what="Loading the mixes" />;
  return <Planned figure={figure} mixes={mixes} {...rest} />;
}

function Planned({
  figure: { id, body },
  mixes,
  clays,
  studio,
  children,
}: Opened & { readonly mixes: FigureMixes }) {
  const question = useMemo(
    () => ({ ...questionOfFigure(body, mixes), stock: [...mixes.stock] }),
    [body, mixes],
  );
  const { latest, fault } = useVerb(clays, studio, 'figure', question);
  const answer = latest?.answer;
  const wanted = useMemo(() => {
    const open = answer?.colours.flatMap(({ lab, isMixed, ...rest }) =>
      lab === undefined || isMixed ? [] : [{ lab, ...rest }],
    );
    return (
      open && {
        id,
        title: body.name,
        aims: open.map(({ lab }) => lab),
        called: open.map(({ colour }) => colour),
        gramsEach: open.map(({ grams }) => grams),
      }
    );
  }, [id, body, answer]);
  if (fault !== undefined) return <p className="warning lead">{wordsOf(fault)}</p>;
  if (wanted === undefined) return <JobProgress what="Planning the figure" />;
  return children(wanted);
}
