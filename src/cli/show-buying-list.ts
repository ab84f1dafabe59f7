import { WIDE_GAP } from '../core/buying/shopping-asked.ts';
import { formatRecipe } from '../core/notation/notation.ts';
import { pairs } from '../core/numeric/pairs.ts';
import type {
  BuyingListAnswer,
  BuyingListQuestion,
  CostPoint,
} from '../verbs/buying-list-question.ts';
import { partsOf } from './show-gap-report.ts';
import { columns, counted, money, moneyIn, plain, type Screen, swatch } from './terminal-output.ts';

/** What to buy, what each package is for, and the recipe of each colour. */
export function buyingListText(
  answer: BuyingListAnswer,
  { thorough, plan }: BuyingListQuestion,
  screen: Screen,
): string {
  const { buy, have, colours, packages, costMinor, currency, gap, helps, notes, frontier } = answer;
  const met = colours.flatMap((one) => {
    const { recipe, mixed, dE00 } = one;
    return recipe === undefined || mixed === undefined || dE00 === undefined
      ? []
      : [{ ...one, recipe, mixed, dE00 }];
  });
  const unmet = colours.filter(({ recipe }) => recipe === undefined);
  const buyRows = columns(
    buy.map(({ clay, packages: n, packageG, leftG, costMinor: cost, for: goes }) => [
      `${n} x`,
      plain(clay),
      `${Math.round(packageG)} g`,
      cost === undefined ? '' : money(cost, currency),
      `for ${plain(goes.map(({ colour }) => colour).join(', '))}; ${Math.round(leftG)} g left over`,
    ]),
    'rlrrl',
  );
  // The amounts of a figure differ from colour to colour.
  const gramsOf = (grams: number) => (plan === undefined ? [] : [`${Math.round(grams)} g`]);
  const colourRows = columns(
    met.map(({ colour, recipe, dE00, grams }) => [
      plain(colour),
      ...gramsOf(grams),
      plain(formatRecipe(recipe)),
      dE00.toFixed(1),
    ]),
    plan === undefined ? 'llr' : 'lrlr',
  );
  const cost = costMinor === undefined ? '' : `, ${moneyIn(costMinor, currency)}`;
  const lines = [
    packages === 0 ? 'Nothing to buy.' : `Buy ${counted(packages, 'package')}${cost}:`,
    ...pairs(buyRows, buy).map(([row, { shown }]) => `  ${swatch(screen, shown)}${row}`),
    ...(have.length === 0
      ? []
      : ['', `You have enough ${plain(have.map(({ clay }) => clay).join(', '))}.`]),
    '',
    ...pairs(colourRows, met).map(
      ([row, { lab, mixed }]) => `  ${swatch(screen, lab, mixed)}${row}`,
    ),
    ...unmet.map(({ colour, why }) => `  ${plain(colour)}: ${plain(why ?? 'no recipe')}`),
    '',
    ...(met.length === 0
      ? []
      : gap < 1e-6
        ? ['No cheaper list of these blocks gives these colours.']
        : [
            `A better list could be cheaper by ${(100 * gap).toFixed(1)} % at most.${gap > WIDE_GAP && thorough !== true ? ' To look longer, say --thorough.' : ''}`,
          ]),
    ...frontierLines(frontier, colours.length, currency),
    ...helps.map(
      ({ clay, colours: gives }) => `${plain(clay)} would give ${plain(gives.join(', '))} too.`,
    ),
    ...notes.map(plain),
  ];
  return `${lines.join('\n')}\n`;
}

function frontierLines(
  frontier: readonly CostPoint[],
  wanted: number,
  currency: string | undefined,
): string[] {
  if (frontier.length === 0) return [];
  const rows = columns(
    frontier.map(({ tolerance, packages, costMinor, met, meanDE00, worstDE00 }) => [
      tolerance.toFixed(1),
      counted(packages, 'package'),
      costMinor === undefined ? '' : money(costMinor, currency),
      `${met} of ${wanted} colours`,
      `${meanDE00.toFixed(1)} on average, ${worstDE00.toFixed(1)} at worst`,
    ]),
    'rlrll',
  );
  return ['', 'More or less close:', ...rows.map((row) => `  ${row}`), ''];
}

export function buyingListJson({ colours, ...rest }: BuyingListAnswer): string {
  return JSON.stringify({
    ...rest,
    colours: colours.map(({ recipe, ...one }) =>
      recipe === undefined ? one : { ...one, recipe: partsOf(recipe) },
    ),
  });
}
