import { shapeInWords } from '../core/figure/part-shape.ts';
import type { StockRow } from '../core/find/known-clays.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import { clayKey } from '../core/notation/notation.ts';
import { clayOfBlock } from './clay-of-block.ts';
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
  /** Blocks that the shapes and the mixes are made of. */
  readonly blockIds: ReadonlySet<string>;
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
  const blockIds = new Set<string>();
  const queue = [...ids];
  for (let id = queue.pop(); id !== undefined; id = queue.pop()) {
    const mix = mixes.get(id);
    if (mix?.kind !== 'mix') blockIds.add(id);
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
  return { colours, blockIds, nameOf };
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
 * A stock with the blocks of a figure that it lacks: those that were not learned, or that came with somebody
 * else's recipe. What a colour weighs depends on them too.
 * Shape: what blocks are called in the question
 */
export function stockOfFigure(
  stock: readonly StockRow[],
  blocks: Iterable<RecordOf<'block'>>,
  lines: Pick<ReadonlyMap<string, RecordOf<'line'>>, 'get'>,
  nameOf: (id: string) => string,
): readonly StockRow[] {
  const stocked = new Set(stock.map(({ name }) => clayKey(name)));
  const more = [...blocks].flatMap((block): StockRow[] => {
    const name = nameOf(block.id);
    if (stocked.has(clayKey(name))) return [];
    const { density, packageG } = clayOfBlock(block, lines.get(block.body.lineId));
    return [
      {
        name,
        ...(density === undefined ? {} : { density: density.value }),
        ...(packageG === undefined ? {} : { packageG }),
      },
    ];
  });
  return [...stock, ...more];
}

/**
 * What a figure of the book needs of each colour: its shapes, the recipes of its colours, and which are mixed.
 * Shape:   the names of the mixes and blocks of `idsOfFigure`
 * Holds:   shapes whose colour is not chosen yet stay out; batches that are mixed are named
 */
export function needsOfFigure(
  { plan, batches }: PlannedFigure,
  { colours, nameOf }: Omit<ColoursOfFigure, 'blockIds'>,
) {
  const { shapes = [], copies, spare } = plan ?? {};
  return {
    ...(copies === undefined ? {} : { copies }),
    ...(spare === undefined ? {} : { spare }),
    shapes: shapes.flatMap((shape) => shapeOfPlan(shape, nameOf)),
    colours: [...colours],
    mixed: batches.map(({ of }) => nameOf(of.id)),
  };
}

/** The whole question about a figure of the book, without its stock. */
export function questionOfFigure(
  figure: PlannedFigure,
  colours: Parameters<typeof needsOfFigure>[1],
) {
  const { plan } = figure;
  return { ...(plan === undefined ? {} : workOfPlan(plan)), ...needsOfFigure(figure, colours) };
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

/** How a figure is made, beside what it needs. */
function workOfPlan({ cutterMm, sheetMm, hours, hourly }: FigurePlan) {
  return {
    ...(cutterMm === undefined ? {} : { cutterMm }),
    ...(sheetMm === undefined ? {} : { sheetMm }),
    ...(hours === undefined ? {} : { hours }),
    ...(hourly === undefined ? {} : { hourlyMinor: hourly.minor, hourlyCurrency: hourly.currency }),
  };
}
