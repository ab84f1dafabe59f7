import { formatRecipe } from '../core/notation/notation.ts';
import { pairs } from '../core/numeric/pairs.ts';
import { chanceInWords } from '../core/verdict/verdict-in-words.ts';
import type { BuyOrMixAnswer, BuyOrMixQuestion, PilesPoint } from '../verbs/buy-or-mix-question.ts';
import { partsOf } from './show-gap-report.ts';
import { columns, counted, money, plain, type Screen, swatch } from './terminal-output.ts';

/** The two piles, each block with its reason or its recipe. */
export function buyOrMixText(
  answer: BuyOrMixAnswer,
  { grams }: BuyOrMixQuestion,
  screen: Screen,
): string {
  const { buy, mix, neither, goal, proven, saves, tolerance, frontier, notes: said } = answer;
  const best = goal === 'fewest' ? 'No smaller set of blocks' : 'No cheaper set of blocks';
  const mixRows = columns(
    mix.map(({ clay, recipe, dE00, chance }) => [
      plain(clay),
      plain(formatRecipe(recipe)),
      dE00.toFixed(1),
      chanceInWords(chance),
    ]),
    'llrl',
  );
  const buyRows = columns(
    buy.map(({ clay, why }) => [plain(clay), plain(why.sentence)]),
    'll',
  );
  const notes = mix.map(({ bakeFirst, costPer100g, blockPer100g }) => {
    const cost =
      costPer100g === undefined || blockPer100g === undefined
        ? ''
        : `; ${money(costPer100g)} for 100 g, the block ${money(blockPer100g)}`;
    return `${bakeFirst ? '; bake a tile first' : ''}${cost}`;
  });
  const lines = [
    `Buy ${counted(buy.length, 'block')}, mix ${counted(mix.length, 'block')}:`,
    '',
    ...pairs(buyRows, buy).map(([row, { shown }]) => `  buy  ${swatch(screen, shown)}${row}`),
    '',
    ...pairs(pairs(mixRows, notes), mix).map(
      ([[row, note], { wantedShown, lab }]) =>
        `  mix  ${swatch(screen, wantedShown, lab)}${row}${note}`,
    ),
    ...neither.map(({ clay, sentence }) => `  none ${plain(clay)}: ${plain(sentence)}`),
    '',
    `${proven ? `${best} does it` : `Perhaps ${goal === 'fewest' ? 'fewer' : 'cheaper ones'} would do: not all was looked at`}. Each mixed block comes within ${tolerance} dE00, by recipes of the blocks to buy only.`,
    ...(saves === undefined
      ? []
      : [
          `With ${grams} g of each colour in a season, mixing ${saves < 0 ? 'costs' : 'saves'} ${money(Math.abs(saves))}${saves < 0 ? ' more' : ''}.`,
        ]),
    ...said.map(plain),
    ...frontierLines(frontier),
  ];
  return `${lines.join('\n')}\n`;
}

function frontierLines(frontier: readonly PilesPoint[]): string[] {
  if (frontier.length === 0) return [];
  return [
    '',
    'By how far off a mixed block may be:',
    ...frontier.map(
      ({ from, buy }) =>
        `  ${from.toFixed(2)} and more: buy ${buy.length}: ${plain(buy.join(', '))}`,
    ),
  ];
}

export function buyOrMixJson({ mix, frontier, ...rest }: BuyOrMixAnswer): string {
  return JSON.stringify({
    ...rest,
    mix: mix.map(({ recipe, wantedShown: _, ...one }) => ({ ...one, recipe: partsOf(recipe) })),
    frontier: frontier.map((point) => ({
      ...point,
      mix: point.mix.map(({ recipe, ...one }) => ({ ...one, recipe: partsOf(recipe) })),
    })),
  });
}
