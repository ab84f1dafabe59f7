import { z } from 'zod';
import { sharesOfParts } from '../core/clay/mixture.ts';
import { clayName, type KnownClays, recipeOf } from '../core/find/known-clays.ts';
import { predictViewed } from '../core/find/predicted-mix.ts';
import { rulesOfCall, stockByClay } from '../core/find/rules-of-call.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { CHART_KINDS, chartOf, gridOf } from '../core/ladder/chart.ts';
import { keyOfShares, type WholeParts } from '../core/mixes/whole-parts.ts';
import { clayKey } from '../core/notation/notation.ts';
import { pairs } from '../core/numeric/pairs.ts';
import { labAnswer, recipeAnswer } from './answer-parts.ts';
import { findQuestion, findRules } from './find-question.ts';
import { checkBasis, partsByIndex } from './open-clay.ts';
import { askedRecipe, basis, recipeAsked, tileRead, viewing } from './question-parts.ts';
import { verb, words } from './verb.ts';

/** Mixes on one side of a grid. */
const MOST_OF_GRID = 6;

const side = (option: string, help: string) =>
  z
    .array(recipeAsked)
    .min(1)
    .max(MOST_OF_GRID)
    .readonly()
    .exactOptional()
    .meta(words({ option, value: 'RECIPE', example: '1 Kelp', help }));

export const chartQuestion = z.strictObject({
  rules: findRules.pick({ only: true, lines: true }).readonly().exactOptional(),
  down: side('down', 'a row of a grid of mixes half and half; name as many as wanted'),
  across: side('across', 'a column of that grid; its rows when left out'),
  tiles: z
    .array(tileRead.readonly())
    .readonly()
    .exactOptional()
    .meta(
      words({
        help: 'tiles read, D50 and 2 degrees',
        file: {
          option: 'readings',
          holds: 'tiles',
          help: 'a file of readings: cells whose tile was baked and read have that colour too',
        },
      }),
    ),
  stock: findQuestion.shape.stock,
  basis,
  viewing,
});
export type ChartQuestion = z.output<typeof chartQuestion>;

const cell = z.object({
  recipe: recipeAnswer,
  lab: labAnswer,
  covariance: z.array(z.number()).length(9),
  plusMinus: z.number(),
  /** D50 and 2 degrees, for showing it. */
  shown: labAnswer,
  /** The mean of its baked tiles, D50 and 2 degrees; null until one was read. */
  read: labAnswer.nullable(),
});
export type ChartCell = z.output<typeof cell>;

const chartAnswer = z.object({
  rows: z.array(
    z.object({
      kind: z.enum([...CHART_KINDS, 'grid']),
      /** The clay of the row, and the one it is mixed with; for a grid the mix of the row. */
      of: z.array(z.string()),
      cells: z.array(cell),
    }),
  ),
});
export type ChartAnswer = z.output<typeof chartAnswer>;
export type ChartAnswerRow = ChartAnswer['rows'][number];

/**
 * The mixes of a chart to bake: each clay alone, with white, black and translucent, and every pair of a line;
 * or a grid of mixes half and half.
 * Refuses: an unknown clay or line
 * Returns: for each cell its predicted colour, and the colour read where its tile was baked
 */
export const chart = verb({
  name: 'chart',
  asks: 'Which tiles make a chart of my clays?',
  question: chartQuestion,
  answer: chartAnswer,
  *run(clays: KnownClays, question: ChartQuestion): WorkSteps<ChartAnswer> {
    checkBasis(clays, question.basis, 2);
    return yield* once('laying out the chart', () => {
      const read = tilesRead(clays, question.tiles ?? []);
      const cells = (mixes: readonly WholeParts[]) =>
        mixes.map((mix): ChartCell => {
          const shares = sharesOfParts(mix);
          const { lab, covariance, plusMinus, shown } = predictViewed(
            clays.predictor,
            shares,
            question.viewing,
          );
          return {
            recipe: recipeOf(clays, mix),
            lab,
            covariance: [...covariance],
            plusMinus,
            shown,
            read: read.get(keyOfShares(shares)) ?? null,
          };
        });
      return { rows: rowsOf(clays, question, cells) };
    });
  },
});

function rowsOf(
  clays: KnownClays,
  question: ChartQuestion,
  cells: (mixes: readonly WholeParts[]) => ChartCell[],
): ChartAnswerRow[] {
  const { down, across = down, rules = {}, stock = [] } = question;
  if (down !== undefined && across !== undefined) {
    const side = (asked: typeof down) => asked.map((one) => partsByIndex(clays, askedRecipe(one)));
    return pairs(down, gridOf(side(down), side(across))).map(([one, mixes]) => ({
      kind: 'grid',
      of: [typeof one === 'string' ? one : one.words],
      cells: cells(mixes),
    }));
  }
  const frame = { stock, basis: clays.basis, mostClays: 2, parts: 8 };
  const { allowed } = rulesOfCall(clays, { ...rules, effects: true }, frame);
  const rows = stockByClay(clays, stock);
  const known = clays.predictor.model.clays;
  const chosen = allowed.flatMap((clay) => {
    const line = rows.get(clay)?.line;
    return known.slice(clay, clay + 1).map(({ clayClass, tiles }) => ({
      clay,
      clayClass,
      tiles,
      line: line === undefined ? undefined : clayKey(line),
    }));
  });
  return chartOf(chosen).map(({ kind, clay, other, cells: mixes }) => ({
    kind,
    of: [clay, ...(other === undefined ? [] : [other])].map((i) => clayName(clays, i)),
    cells: cells(mixes),
  }));
}

/** Colours read by the key of their mix; the mean of several. Tiles of clays that are not known stay out. */
function tilesRead(
  clays: KnownClays,
  tiles: NonNullable<ChartQuestion['tiles']>,
): ReadonlyMap<string, [number, number, number]> {
  const sums = new Map<string, { sum: [number, number, number]; n: number }>();
  for (const { recipe, lab } of tiles) {
    if (!recipe.every(({ clay }) => clays.indexOf.has(clayKey(clay)))) continue;
    const key = keyOfShares(sharesOfParts(partsByIndex(clays, recipe)));
    const { sum, n } = sums.get(key) ?? { sum: [0, 0, 0], n: 0 };
    sums.set(key, { sum: [sum[0] + lab[0], sum[1] + lab[1], sum[2] + lab[2]], n: n + 1 });
  }
  return new Map(
    [...sums].map(
      ([
        key,
        {
          sum: [l, a, b],
          n,
        },
      ]) => [key, [l / n, a / n, b / n]],
    ),
  );
}
