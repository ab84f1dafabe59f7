import { type ReactNode, useMemo } from 'react';
import type { Lab } from '../../../core/colour/triples.ts';
import { USUAL_SPARE } from '../../../core/figure/waste.ts';
import { shapesInWords, termsOfPlan } from '../../../domain/figure-question.ts';
import type { FigurePlan } from '../../../domain/records/figure-plan.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import type { FigureAnswer } from '../../../verbs/figure.ts';
import { wordsOf } from '../../book/change.ts';
import type { OpenClays } from '../../book/clays.ts';
import { useVerb } from '../../book/use-verb.ts';
import type { Studio } from '../../find/studio.ts';
import { JobProgress } from '../../parts/job-progress.tsx';
import { type FigureMixes, useFigureMixes } from '../figure/use-figure-mixes.ts';

/** Colours that a buying list is for. */
export interface Wanted {
  readonly id: string;
  readonly title: string;
  readonly aims: readonly Lab[];
  readonly called: readonly string[];
  /** Of each colour, where they are known. */
  readonly gramsEach?: readonly number[];
}

const wantedOfPalettes = new WeakMap<object, Wanted>();

export function wantedOfPalette({ id, body }: RecordOf<'palette'>): Wanted {
  const known = wantedOfPalettes.get(body);
  if (known !== undefined) return known;
  const wanted = {
    id,
    title: body.name,
    aims: body.aims.map(({ lab }) => lab),
    called: body.aims.map(({ name }, at) => name ?? `Colour ${at + 1}`),
  };
  wantedOfPalettes.set(body, wanted);
  return wanted;
}

interface Opened {
  readonly figure: RecordOf<'figure'>;
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly children: (wanted: Wanted) => ReactNode;
}

const NO_PLAN: FigurePlan = { shapes: [] };

/** The colours of a planned figure with the grams that its shapes need. */
export function OfFigure({ figure, ...rest }: Opened) {
  const mixes = useFigureMixes(figure.body.plan ?? NO_PLAN, figure, rest.studio);
  if (mixes === undefined) return <JobProgress what="Loading the mixes" />;
  return <Planned figure={figure} mixes={mixes} {...rest} />;
}

function Planned({
  figure,
  mixes,
  clays,
  studio,
  children,
}: Opened & { readonly mixes: FigureMixes }) {
  const { plan = NO_PLAN } = figure.body;
  const question = useMemo(
    () => ({
      ...termsOfPlan(plan),
      shapes: [...shapesInWords(plan, mixes.nameOf).shapes],
      colours: [...mixes.colours],
      stock: [...mixes.stock],
    }),
    [plan, mixes],
  );
  const { latest, fault } = useVerb(clays, studio, 'figure', question);
  const answer = latest?.answer;
  const wanted = useMemo(
    () => (answer === undefined ? undefined : wantedOfFigure(figure, answer)),
    [figure, answer],
  );
  if (fault !== undefined) return <p className="warning lead">{wordsOf(fault)}</p>;
  if (wanted === undefined) return <JobProgress what="Planning the figure" />;
  return children(wanted);
}

function wantedOfFigure(
  { id, body }: RecordOf<'figure'>,
  { shapes, copies }: FigureAnswer,
): Wanted {
  const spare = 1 + (body.plan?.spare ?? USUAL_SPARE);
  const needs = new Map<string, { lab: Lab; grams: number }>();
  for (const { colour, lab, grams } of shapes) {
    if (lab === undefined) continue;
    const before = needs.get(colour)?.grams ?? 0;
    needs.set(colour, { lab, grams: before + copies * spare * grams });
  }
  return {
    id,
    title: body.name,
    aims: [...needs.values()].map(({ lab }) => lab),
    called: [...needs.keys()],
    gramsEach: [...needs.values()].map(({ grams }) => grams),
  };
}
