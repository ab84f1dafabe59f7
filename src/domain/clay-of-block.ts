import type { BuyingChoice, StockRow } from '../core/find/known-clays.ts';
import type { BlockNode, Density } from '../core/mixes/mix-graph.ts';
import type { RecordOf } from './records/record.ts';

type BlockBody = RecordOf<'block'>['body'];
type LineBody = RecordOf<'line'>['body'];

/** A block as a clay to mix with: what the block says, and where it says nothing, what its line says. */
export interface ClayOfBlock extends BlockNode {
  readonly blockId: string;
  readonly lineId: string;
  /** Name of the line. */
  readonly line?: string;
  readonly clayType: BlockBody['clayType'];
  /** Of a gram, in minor units and not rounded; absent where price or weight of a package is not known. */
  readonly price?: { readonly minorPerG: number; readonly currency: string };
  /** Grams of one package. */
  readonly packageG?: number;
  readonly buying?: BuyingChoice;
  /** From the stock entries, never below 0; absent if the clay was never weighed. */
  readonly onHandG?: number;
}

/**
 * What a clay of a block is, for the page, the server and the command line alike.
 * Shape:   a block, its line where the book has one, grams from the stock entries -> one clay
 * Units:   density g/cm3
 */
export function clayOfBlock(
  { id, body }: Pick<RecordOf<'block'>, 'id' | 'body'>,
  line?: Pick<RecordOf<'line'>, 'body'>,
  grams?: number,
): ClayOfBlock {
  const { lineId, clayType, price, packageG, buying } = body;
  return {
    blockId: id,
    lineId,
    ...(line === undefined ? {} : { line: line.body.name }),
    clayType,
    ...densityOfBlock(body, line?.body),
    ...(packageG === undefined || packageG === 0 ? {} : { packageG }),
    ...(buying === undefined ? {} : { buying }),
    ...(price === undefined || packageG === undefined || packageG === 0
      ? {}
      : { price: { minorPerG: price.minor / packageG, currency: price.currency } }),
    ...(grams === undefined ? {} : { onHandG: Math.max(0, grams) }),
  };
}

/** Whether recipes of the user's own may use a block: one that came with somebody else's recipe is only known. */
export function isOwned({ body }: { readonly body: Pick<BlockBody, 'status'> }): boolean {
  return body.status !== 'not owned';
}

export interface NamedClay extends ClayOfBlock {
  readonly name: string;
}

/**
 * Clays as a search counts them.
 * Holds:   prices are there only where all are in one currency, as others cannot be added up
 */
export function stockOfClays(clays: readonly NamedClay[]): {
  readonly rows: readonly StockRow[];
  readonly currency?: string;
} {
  const [currency, ...others] = new Set(clays.flatMap(({ price }) => price?.currency ?? []));
  const isPriced = currency !== undefined && others.length === 0;
  const rows = clays.map(({ name, line, clayType, onHandG, price, packageG, buying, density }) => ({
    name,
    clayType,
    ...(line === undefined ? {} : { line }),
    ...(onHandG === undefined ? {} : { onHandG }),
    ...(price === undefined || !isPriced ? {} : { priceMinorPerG: price.minorPerG }),
    ...(price === undefined ? {} : { currency: price.currency }),
    ...(packageG === undefined ? {} : { packageG }),
    ...(buying === undefined ? {} : { buying }),
    ...(density === undefined ? {} : { density: density.value }),
  }));
  return { rows, ...(isPriced ? { currency } : {}) };
}

/** How the packages of a line say it is baked, as far as they say so. */
export interface Baking {
  /** Degrees C; both are there or neither. */
  readonly heat?: { readonly lowC: number; readonly highC: number };
  readonly neverExceedC?: number;
  readonly minutesPer6Mm?: number;
}

/**
 * Holds: one bound stands for both, and no heat is above what must never be exceeded; where the
 *        packages contradict themselves, no heat is given
 */
export function bakingOfLine({
  bakeLowC,
  bakeHighC,
  neverExceedC,
  minutesPer6Mm,
}: LineBody): Baking {
  const lowC = bakeLowC ?? bakeHighC ?? Number.POSITIVE_INFINITY;
  const highC = Math.min(bakeHighC ?? lowC, neverExceedC ?? Number.POSITIVE_INFINITY);
  return {
    ...(lowC <= highC && Number.isFinite(lowC) ? { heat: { lowC, highC } } : {}),
    ...(neverExceedC === undefined ? {} : { neverExceedC }),
    ...(minutesPer6Mm === undefined ? {} : { minutesPer6Mm }),
  };
}

/** The heat that suits all of some lines; nothing where one gives no heat or none suits all. */
export function commonHeat(lines: readonly Baking[]): Baking['heat'] {
  if (lines.length === 0 || lines.some(({ heat }) => heat === undefined)) return undefined;
  const lowC = Math.max(...lines.flatMap(({ heat }) => heat?.lowC ?? []));
  const highC = Math.min(...lines.flatMap(({ heat }) => heat?.highC ?? []));
  return lowC > highC ? undefined : { lowC, highC };
}

/**
 * The density of a block: its own, else that of its line. Blocks that take the figure of their line are
 * equally dense, so volume and weight parts of them are the same.
 * Holds:   low and high are two standard deviations off, and low never below half the value
 */
export function densityOfBlock(block: BlockBody, line: LineBody | undefined): BlockNode {
  const own = densityIn(block);
  if (own !== undefined) return { density: own };
  const ofLine = line === undefined ? undefined : densityIn(line);
  return ofLine === undefined ? {} : { density: ofLine, densityGroup: `line ${block.lineId}` };
}

function densityIn({
  densityGPerCm3: value,
  densitySpread = 0,
}: Pick<LineBody, 'densityGPerCm3' | 'densitySpread'>): Density | undefined {
  if (value === undefined) return undefined;
  const low = Math.max(value / 2, value - 2 * densitySpread);
  return { value, low, high: value + 2 * densitySpread };
}
