import { z } from 'zod';
import { AppError, invalidInput } from '../core/errors.ts';
import { type MixingBatch, PRE_MIX, planBatches } from '../core/figure/batches.ts';
import { type BlockUse, blockUse } from '../core/figure/blocks-used.ts';
import { readShape, shapeInWords } from '../core/figure/part-shape.ts';
import { ballOfMm, pieceCm3, surfaceCm2, volumeCm3 } from '../core/figure/shape-volume.ts';
import { USUAL_SPARE, WASTE_SHARES, withWaste } from '../core/figure/waste.ts';
import type { KnownClays } from '../core/find/known-clays.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { type MixOrder, orderMixes } from '../core/mixes/mix-graph.ts';
import { labAnswer } from './answer-parts.ts';
import { FEWEST_OF_STRONGEST, notesOf, paidOtherwise } from './figure-notes.ts';
import { type PaintAnswer, paintAnswer, painter } from './figure-paint.ts';
import { type Palette, paletteOf } from './figure-palette.ts';
import {
  type FigureQuestion,
  figureQuestion,
  type ShapeAsked,
  shapeAskedOf,
} from './figure-question.ts';
import { currenciesOf } from './prices-known.ts';
import { verb } from './verb.ts';

/** Of a sheet that pieces are cut from. */
const USUAL_SHEET_MM = 3;

const money = z.number();

const shapeAnswer = z.object({
  name: z.string(),
  shape: z.string(),
  count: z.int(),
  colour: z.string(),
  /** Of one; absent for an amount. */
  volumeCm3: z.number().exactOptional(),
  /** Of all of a figure, without and with what is lost. */
  totalCm3: z.number(),
  mixedCm3: z.number(),
  grams: z.number(),
  lab: labAnswer.exactOptional(),
  /** Paint for all of a figure, where the part is painted. */
  paint: paintAnswer.exactOptional(),
});

const batchAnswer = z.object({
  colour: z.string(),
  kind: z.enum(['colour', 'pre-mix']),
  parts: z.array(
    z.object({
      of: z.string(),
      kind: z.enum(['clay', 'mix', 'pre-mix']),
      pieces: z.int(),
      grams: z.number(),
      lab: labAnswer.exactOptional(),
    }),
  ),
  pieces: z.int(),
  /** Diameter of the ball that one piece rolls to. */
  ballMm: z.number(),
  neededG: z.number(),
  makesG: z.number(),
  makesCm3: z.number(),
  lab: labAnswer.exactOptional(),
  /** How far whole pieces are off the recipe, dE00. */
  roundingDE00: z.number().exactOptional(),
  strongest: z.object({ of: z.string(), pieces: z.int() }),
});
export type FigureBatch = z.output<typeof batchAnswer>;

const blockAnswer = z.object({
  clay: z.string(),
  usedG: z.number(),
  onHandG: z.number().exactOptional(),
  packageG: z.number().exactOptional(),
  lacksG: z.number(),
  buy: z.int().exactOptional(),
  leftG: z.number().exactOptional(),
  usedMinor: money.exactOptional(),
  buyMinor: money.exactOptional(),
  lab: labAnswer.exactOptional(),
});

const figureAnswer = z.object({
  copies: z.int(),
  /** The pieces of all batches, where they are of one size. */
  piece: z.object({ acrossMm: z.number(), sheetMm: z.number(), cm3: z.number() }).exactOptional(),
  shapes: z.array(shapeAnswer),
  /** What the shapes of all copies need of each colour, with what is lost and to spare. */
  colours: z.array(
    z.object({
      colour: z.string(),
      grams: z.number(),
      lab: labAnswer.exactOptional(),
      /** Its batch is mixed already. */
      isMixed: z.boolean(),
    }),
  ),
  batches: z.array(batchAnswer),
  blocks: z.array(blockAnswer),
  grams: z.number(),
  /** Minor units; each is there where all it is made of is known. */
  cost: z.object({
    currency: z.string().exactOptional(),
    clayMinor: money.exactOptional(),
    buyMinor: money.exactOptional(),
    workMinor: money.exactOptional(),
    /** Pay for an hour, as it was asked. */
    hourlyMinor: money.exactOptional(),
    /** Of one figure: its clay and its hours. */
    eachMinor: money.exactOptional(),
  }),
  /** Shapes that could not be planned, and why. */
  leftOut: z.array(z.object({ shape: z.string(), sentence: z.string() })),
  notes: z.array(z.string()),
});
export type FigureAnswer = z.output<typeof figureAnswer>;

/**
 * How much of each colour a figure needs, in whole pieces, and what must be bought for it.
 * Refuses: no shape at all -> invalid-input
 * Holds:   a shape that cannot be planned is left out with its reason, and the rest is planned
 */
export const figure = verb({
  name: 'figure',
  asks: 'How much of each colour does this figure need?',
  question: figureQuestion,
  answer: figureAnswer,
  *run(clays: KnownClays, question: FigureQuestion): WorkSteps<FigureAnswer> {
    return yield* once('planning the figure', () => plannedFigure(clays, question));
  },
});

/** A shape that can be planned. */
interface ReadyShape {
  readonly name: string;
  readonly words: string;
  readonly count: number;
  readonly colour: string;
  readonly volumeCm3?: number;
  readonly totalCm3: number;
  readonly mixedCm3: number;
  readonly massG?: number;
  readonly paint?: PaintAnswer;
}

/** The plan, at once. Refuses: as `figure` */
export function plannedFigure(clays: KnownClays, question: FigureQuestion): FigureAnswer {
  const { copies = 1, cutterMm, sheetMm = USUAL_SHEET_MM, spare = USUAL_SPARE } = question;
  if (question.shapes.length === 0) throw noShapes();
  const palette = paletteOf(clays, question);
  const leftOut: FigureAnswer['leftOut'] = [];
  const shapes: ReadyShape[] = [];
  const paintOf = painter(clays, palette);
  for (const asked of question.shapes) {
    try {
      shapes.push(readyShape(shapeAskedOf(asked), palette, paintOf));
    } catch (fault) {
      if (!(fault instanceof AppError) || fault.kind !== 'bad-input') throw fault;
      const shape = typeof asked === 'string' ? asked : (asked.name ?? asked.shape);
      leftOut.push({ shape, sentence: `${fault.detail} ${fault.hint}` });
    }
  }
  if (shapes.length === 0) throw noneReadable(leftOut);
  const needs = new Map<string, number>();
  for (const { colour, mixedCm3 } of shapes) {
    needs.set(colour, (needs.get(colour) ?? 0) + copies * mixedCm3 * (1 + spare));
  }
  const isMix = [...needs].filter(([colour]) => palette.colours.has(colour));
  const piece =
    cutterMm === undefined
      ? undefined
      : { acrossMm: cutterMm, sheetMm, cm3: pieceCm3({ acrossMm: cutterMm, sheetMm }) };
  const found = planBatches({
    colours: palette.colours,
    isClay: palette.isClay,
    needs: new Map(isMix),
    densityOf: palette.densityOf,
    colourOf: palette.colourOf,
    fewest: FEWEST_OF_STRONGEST,
    ...(piece === undefined ? {} : { pieceCm3: piece.cm3 }),
  });
  if (found.status !== 'planned') throw notResolved(found);
  const used = new Map<string, number>();
  const taken = new Map<string, number>();
  const mixed = new Set(question.mixed);
  const addTo = (sums: Map<string, number>, clay: string, cm3: number) =>
    sums.set(clay, (sums.get(clay) ?? 0) + cm3 * palette.densityOf(clay));
  const use = (clay: string, cm3: number) => addTo(used, clay, cm3);
  for (const { colour, kind, parts, pieceCm3: cm3 } of found.batches) {
    for (const { of, pieces } of parts) {
      // A mix or a pre-mix takes its clays in its own batch.
      if (kind === 'colour' && of === PRE_MIX) continue;
      if (palette.colours.has(of)) continue;
      use(of, pieces * cm3);
      if (mixed.has(colour)) addTo(taken, of, pieces * cm3);
    }
  }
  for (const [colour, cm3] of needs) if (!palette.colours.has(colour)) use(colour, cm3);
  const blocks = [...used].map(([clay, grams]) => {
    const lab = palette.colourOf(new Map([[clay, 1]]));
    return {
      ...blockUse(clay, grams, palette.rowOf(clay), taken.get(clay)),
      ...(lab === undefined ? {} : { lab }),
    };
  });
  return {
    copies,
    ...(piece === undefined ? {} : { piece }),
    shapes: shapes.map((shape) => shapeShown(shape, palette)),
    colours: [...needs].map(([colour, cm3]) => {
      const lab = palette.labOf(colour);
      return {
        colour,
        grams: cm3 * palette.densityOfAny(colour),
        ...(lab === undefined ? {} : { lab }),
        isMixed: mixed.has(colour),
      };
    }),
    batches: found.batches.map((batch) => batchShown(batch, found.batches, palette)),
    blocks,
    grams: blocks.reduce((sum, { usedG }) => sum + usedG, 0),
    cost: costOf(blocks, question, copies),
    leftOut,
    notes: notesOf({ blocks, batches: found.batches, palette, question, spare }),
  };
}

function readyShape(
  asked: ShapeAsked,
  palette: Palette,
  paintOf: ReturnType<typeof painter>,
): ReadyShape {
  const { count, waste = 'sculpting', wasteShare = WASTE_SHARES[waste] } = asked;
  if (!Number.isInteger(count) || count < 1 || count > 1_000_000) {
    throw invalidInput(`There cannot be ${count} of a part.`, 'Give a whole number from 1.');
  }
  if (!(wasteShare >= 0 && wasteShare <= 0.9)) {
    throw invalidInput(`The lost share cannot be ${wasteShare}.`, 'Give a share from 0 to 0.9.');
  }
  const shape = readShape(asked.shape);
  const colour = palette.named(asked.colour);
  const order = orderMixes(palette.colours, palette.isClay, [colour]);
  if (order.status !== 'ordered') throw notResolved(order);
  const one = volumeCm3(shape);
  const massG = shape.form === 'amount' ? shape.massG : undefined;
  const totalCm3 = count * (one ?? (massG ?? 0) / palette.densityOfAny(colour));
  const mixedCm3 = withWaste(totalCm3, wasteShare);
  const area = surfaceCm2(shape);
  const paint =
    area === undefined
      ? undefined
      : paintOf(asked, { count, areaCm2: count * area, colour, mixedCm3 });
  return {
    name: asked.name ?? `${count} ${shape.form}`,
    words: shapeInWords(shape),
    count,
    colour,
    ...(one === undefined ? {} : { volumeCm3: one }),
    totalCm3,
    mixedCm3,
    ...(paint === undefined ? {} : { paint }),
  };
}

function shapeShown(shape: ReadyShape, palette: Palette): z.output<typeof shapeAnswer> {
  const { name, words, count, colour, volumeCm3: one, totalCm3, mixedCm3, paint } = shape;
  const lab = palette.labOf(colour);
  return {
    name,
    shape: words,
    count,
    colour,
    ...(one === undefined ? {} : { volumeCm3: one }),
    totalCm3,
    mixedCm3,
    grams: mixedCm3 * palette.densityOfAny(colour),
    ...(lab === undefined ? {} : { lab }),
    ...(paint === undefined ? {} : { paint }),
  };
}

function batchShown(
  batch: MixingBatch,
  all: readonly MixingBatch[],
  palette: Palette,
): FigureBatch {
  const {
    colour,
    kind,
    parts,
    pieceCm3: cm3,
    neededCm3,
    madeCm3,
    massG,
    made,
    roundingDE00,
  } = batch;
  const density = massG / madeCm3;
  const preMix = all.find((one) => one.kind === 'pre-mix' && one.colour === colour);
  const strong = parts.find(({ of }) => of === batch.strongest);
  const nameOf = (of: string) => (of === PRE_MIX ? `pre-mix for ${colour}` : of);
  return {
    colour,
    kind,
    parts: parts.map(({ of, pieces }) => {
      const lab = of === PRE_MIX ? preMix?.made : palette.labOf(of);
      return {
        of: nameOf(of),
        kind: of === PRE_MIX ? 'pre-mix' : palette.colours.has(of) ? 'mix' : 'clay',
        pieces,
        grams: pieces * cm3 * (of === PRE_MIX ? density : palette.densityOfAny(of)),
        ...(lab === undefined ? {} : { lab }),
      };
    }),
    pieces: parts.reduce((sum, { pieces }) => sum + pieces, 0),
    ballMm: ballOfMm(cm3),
    neededG: neededCm3 * density,
    makesG: massG,
    makesCm3: madeCm3,
    ...(made === undefined ? {} : { lab: made }),
    ...(roundingDE00 === undefined ? {} : { roundingDE00 }),
    strongest: { of: nameOf(batch.strongest), pieces: strong?.pieces ?? 0 },
  };
}

function costOf(
  blocks: readonly BlockUse[],
  { stock = [], hours, hourlyMinor, hourlyCurrency }: FigureQuestion,
  copies: number,
): FigureAnswer['cost'] {
  const currencies = currenciesOf(stock);
  const sumOf = (of: (block: BlockUse) => number | undefined) =>
    blocks.reduce<number | undefined>((sum, block) => {
      const one = of(block);
      return sum === undefined || one === undefined ? undefined : sum + one;
    }, 0);
  const isOne = currencies.length < 2;
  // Where the clay has no price that can be added up, the hours may still have one.
  const currency = (isOne ? currencies[0] : undefined) ?? hourlyCurrency;
  const clay = isOne ? sumOf(({ usedMinor }) => usedMinor) : undefined;
  const buy = isOne
    ? sumOf(({ buyMinor, buy: packages }) => buyMinor ?? (packages === 0 ? 0 : undefined))
    : undefined;
  const isOther = paidOtherwise(hourlyCurrency, currencies);
  const pay = isOther ? undefined : hourlyMinor;
  const work = hours === undefined || pay === undefined ? undefined : hours * pay;
  const isWhole = clay !== undefined && !(isOther && hours !== undefined);
  const whole = (minor: number) => Math.round(minor);
  return {
    ...(currency === undefined ? {} : { currency }),
    ...(clay === undefined ? {} : { clayMinor: whole(clay) }),
    ...(buy === undefined ? {} : { buyMinor: whole(buy) }),
    ...(work === undefined ? {} : { workMinor: whole(work) }),
    ...(pay === undefined ? {} : { hourlyMinor: pay }),
    ...(isWhole ? { eachMinor: whole(clay / copies + (work ?? 0)) } : {}),
  };
}

function noShapes(): AppError {
  return invalidInput(
    'The figure has no shapes yet.',
    'Name its parts, for example "240 leaf 20 x 6 x 1 mm of Kelp".',
  );
}

function noneReadable(leftOut: FigureAnswer['leftOut']): AppError {
  return invalidInput(
    leftOut.map(({ shape, sentence }) => `${shape}: ${sentence}`).join(' '),
    'None of the shapes can be planned. Correct one of them.',
  );
}

function notResolved(found: Exclude<MixOrder, { status: 'ordered' }>): AppError {
  if (found.status === 'circle') {
    return new AppError({
      code: 'mix-unresolved',
      kind: 'bad-input',
      detail: `These mixes are made of one another: ${found.circle.join(', ')}.`,
      hint: 'Change one of their recipes.',
    });
  }
  const names = found.unknown.map(({ clay }) => clay);
  return new AppError({
    code: 'clay-unknown',
    kind: 'bad-input',
    detail: `These are no clays and no colours of this figure: ${names.slice(0, 5).join(', ')}.`,
    hint: 'Name clays that you have, or give their recipes.',
  });
}
