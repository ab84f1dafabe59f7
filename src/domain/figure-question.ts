import { shapeInWords } from '../core/figure/part-shape.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import type { FigurePlan, ShapeOfFigure } from './records/figure-plan.ts';
import type { BookRecord, RecordOf } from './records/record.ts';

/** A planned shape in the words of the question `figure`. */
export interface ShapeInWords {
  readonly name?: string;
  readonly count: number;
  readonly shape: string;
  readonly colour: string;
  readonly waste?: NonNullable<ShapeOfFigure['waste']>;
  readonly wasteShare?: number;
  /** Colour of the paint over it, in words. */
  readonly paint?: string;
  readonly coats?: number;
}

/** A colour of a figure by its recipe, in names. */
export interface ColourInWords {
  readonly name: string;
  readonly basis: Basis;
  readonly recipe: readonly { readonly clay: string; readonly parts: number }[];
}

/** Names of the colours of a figure, and what they are made of. */
export interface ColoursOfFigure {
  readonly colours: readonly ColourInWords[];
  /** What a mix or a block is called in them. */
  readonly nameOf: (id: string) => string;
}

/**
 * The mixes that some shapes are made of, and those that are in these, under a name each.
 * Shape:   ids of mixes and blocks; the mixes by id; what a block is called
 * Holds:   no two mixes share a name: a second one is called by its id too
 */
export function coloursOfFigure(
  ids: Iterable<string>,
  mixes: Pick<ReadonlyMap<string, BookRecord>, 'get'>,
  blockName: (id: string) => string,
): ColoursOfFigure {
  const names = new Map<string, string>();
  const found: RecordOf<'mix'>[] = [];
  const queue = [...ids];
  for (let id = queue.pop(); id !== undefined; id = queue.pop()) {
    const mix = mixes.get(id);
    if (names.has(id) || mix?.kind !== 'mix') continue;
    const title = [mix.body.name, mix.body.code].filter((word) => word !== undefined).join(' ');
    const taken = [...names.values()].includes(title);
    names.set(id, taken ? `${title} (${id})` : title);
    found.push(mix);
    queue.push(...mix.body.parts.map(({ of }) => of.id));
  }
  const nameOf = (id: string) => names.get(id) ?? blockName(id);
  const colours = found.map(({ id, body: { basis, parts } }) => ({
    name: nameOf(id),
    basis,
    recipe: parts.map(({ of, parts: n }) => ({ clay: nameOf(of.id), parts: n })),
  }));
  return { colours, nameOf };
}

/** What of a figure its question is made of. */
type PlannedFigure = Pick<RecordOf<'figure'>['body'], 'plan' | 'batches'>;

/** Mixes and blocks that the parts of a figure are made of and painted like, and those mixed for it already. */
export function idsOfFigure({ plan, batches }: PlannedFigure): readonly string[] {
  const parts = (plan?.shapes ?? []).flatMap(({ of, paint }) => [of, paint?.like]);
  const ids = [...parts, ...batches.map(({ of }) => of)].flatMap((ref) => ref?.id ?? []);
  return [...new Set(ids)].sort();
}

/**
 * The question about a figure of the book, without its stock.
 * Shape:   the names of the mixes and blocks of `idsOfFigure`
 * Holds:   shapes whose colour is not chosen yet stay out; batches that are mixed are named
 */
export function questionOfFigure(
  { plan, batches }: PlannedFigure,
  { colours, nameOf }: ColoursOfFigure,
) {
  return {
    ...(plan === undefined ? {} : termsOfPlan(plan)),
    shapes: (plan?.shapes ?? []).flatMap((shape) => shapeOfPlan(shape, nameOf)),
    colours: [...colours],
    mixed: batches.map(({ of }) => nameOf(of.id)),
  };
}

function shapeOfPlan(
  { name, count, shape, of, waste, wasteShare, paint }: ShapeOfFigure,
  nameOf: (id: string) => string,
): ShapeInWords[] {
  if (of === undefined) return [];
  return [
    {
      ...(name === undefined ? {} : { name }),
      count,
      shape: shapeInWords(shape),
      colour: nameOf(of.id),
      ...(waste === undefined ? {} : { waste }),
      ...(wasteShare === undefined ? {} : { wasteShare }),
      ...(paint?.like === undefined ? {} : { paint: nameOf(paint.like.id) }),
      ...(paint?.coats === undefined ? {} : { coats: paint.coats }),
    },
  ];
}

/** What else a plan says, as the question asks it. */
function termsOfPlan({ copies, cutterMm, sheetMm, spare, hours, hourly }: FigurePlan) {
  return {
    ...(copies === undefined ? {} : { copies }),
    ...(cutterMm === undefined ? {} : { cutterMm }),
    ...(sheetMm === undefined ? {} : { sheetMm }),
    ...(spare === undefined ? {} : { spare }),
    ...(hours === undefined ? {} : { hours }),
    ...(hourly === undefined ? {} : { hourlyMinor: hourly.minor, hourlyCurrency: hourly.currency }),
  };
}
